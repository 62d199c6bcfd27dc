"""Lots and control samples in words: whole sentences, no codes, and never "control" alone."""

from __future__ import annotations

from datetime import UTC, date
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, LAST_DAY, NASAL, NEGATIVE, TODAY, Bench, at, span
from core.board.stock_bench import StockBench, warming
from phrases.stock_events import EVENTS, bench
from readbell.core.board.acts import OpenLot
from readbell.core.board.controls_due import controls_due
from readbell.core.board.start_checks import COLD_KIT, CONTROLS_OVERDUE, OPENED_TOO_LONG
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.stock.acts import BeginBox, RecallLot, TakeOut, UseBuffer
from readbell.core.stock.events import Storage
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.lot_state import good_to, of_samples, state_of
from readbell.phrases.of_bay import tell
from readbell.phrases.refusals import Tried, say_refusal
from readbell.phrases.sample_words import say_due
from readbell.phrases.stock_words import NOT_ALLOWED, say_cold, say_left, say_strayed, say_warnings
from readbell.phrases.summary import sum_up
from readbell.phrases.telling import tell_all
from readbell.phrases.whose import say_short, say_subject

if TYPE_CHECKING:
    from phrases.conftest import Properly
    from readbell.core.board.event import Event

FACE = ClockFace(zone=UTC, apart=span("6:40"))
"""Shows the start of the bench as 01:00:00."""
BOARD = bench().board
NOW = at("60:00")
WHAT = Tried(cartridge="C1", now=at("20:00"))


@pytest.mark.parametrize("event", EVENTS, ids=lambda event: type(event).__name__)
def test_each_event_is_told_in_whole_sentences(event: Event, properly: Properly) -> None:
    """Codes are for the record."""
    words = tell(event, BOARD, FACE)

    assert properly(words) >= 1
    assert "control " not in words.replace("control sample", "").replace("Control sample", "")


@pytest.mark.parametrize(
    "refusal",
    [
        Refusal(code=RefusalCode.LOT_TWO_EXPIRIES, subject="L-1 (2026-01-31, 2027-01-31)"),
        Refusal(code=RefusalCode.BOX_OF_ANOTHER_ASSAY, subject="one, another"),
        Refusal(code=RefusalCode.BOX_OPENED_TOO_LONG, subject="L-1 (2026-01-31)"),
        Refusal(code=RefusalCode.CONTROLS_DUE, subject="L-1: positive, negative"),
        Refusal(code=RefusalCode.UNKNOWN_SAMPLE, subject="PC-9"),
        Refusal(code=RefusalCode.SAMPLE_EXPIRED, subject="PC-1 (2026-01-31)"),
        Refusal(code=RefusalCode.KIT_COLD, subject="L-1", limit=span("30:00")),
        Refusal(code=RefusalCode.KIT_COLD, subject="L-1", limit=span("30:00"), due=at("31:00")),
        *(Refusal(code=RefusalCode.NOT_ALLOWED, subject=each) for each in NOT_ALLOWED),
    ],
    ids=lambda refusal: f"{refusal.code} {refusal.subject}",
)
def test_each_refusal_says_what_is_so_and_what_to_do(refusal: Refusal, properly: Properly) -> None:
    """Two sentences at least."""
    assert properly(say_refusal(refusal, WHAT, FACE)) >= 2


def test_a_cold_kit_is_told_with_its_time() -> None:
    """How long it warms up, and from when on it is used."""
    refusal = Refusal(
        code=RefusalCode.KIT_COLD, subject="L-1", limit=span("30:00"), due=at("31:00")
    )

    assert say_refusal(refusal, WHAT, FACE) == (
        "Lot L-1 warms up for 30:00. Use it from 01:31:00, in 11:00."
    )


def test_a_recall_names_the_people_by_their_cartridges() -> None:
    """How many, and that their results wait; each once, though each waits by itself."""
    made = Bench()
    made.label("C1", "P-001")
    made.label("C2", "P-001")
    made.label("C3", "P-002")
    events = made.must(RecallLot(by="op-1", lot="L-100"))

    assert tell_all(events, made.board, FACE) == (
        "Lot L-100 RECALLED and on hold. What runs on it is finished. "
        "2 people were tested with it: C1, C2, C3. Their results wait for a supervisor."
    )
    assert len(events) == 4


def test_a_box_that_comes_in_is_told_with_the_assay_that_its_item_number_says() -> None:
    """Nobody was asked, so a number that was tied wrongly shows here."""
    made = StockBench()
    made.must(made.box("L-200", gtin="38425876095074"))
    events = made.must(made.box("L-300", gtin="38425876095074", assay=None))

    assert tell_all(events, made.board, FACE) == (
        f"Lot L-300 received: good to {LAST_DAY}, 10 units, for {NASAL.id}."
    )


def test_what_a_start_is_warned_of_stands_behind_it() -> None:
    """Each in a sentence; what is told elsewhere is not told here."""
    said = say_warnings((COLD_KIT, OPENED_TOO_LONG, CONTROLS_OVERDUE, "two-invalids"))

    assert said.count(".") == 3
    assert say_warnings(()) == ""


def test_a_warned_start_is_told_with_its_warning() -> None:
    """On the very line that says it was labelled."""
    made = StockBench()
    made.decides(controls_new_lot=True)
    (event,) = made.must(made.label_act())

    assert tell(event, made.board, FACE) == (
        "C1  labelled for P-001 from lot L-100. Control samples are overdue on this lot."
    )


@pytest.mark.parametrize(
    ("taken_out", "said"), [(False, "kept cold"), (True, "warm from 01:30:00")]
)
def test_whether_kits_are_cold_is_said_in_words(taken_out: bool, said: str) -> None:
    """Nothing where it does not matter."""
    made = StockBench(warming())
    assert say_cold(made.board.lots["L-100"], made.board, FACE) == ""
    made.cold_box(Storage.COLD)
    if taken_out:
        made.must(TakeOut(by="op-1", lot="L-100"))

    assert say_cold(made.board.lots["L-100"], made.board, FACE) == said
    assert state_of(made.board.lots["L-100"], made.board, at("1:00"), FACE) == f"in store, {said}"


@pytest.mark.parametrize(
    ("last", "said"),
    [
        (date(2026, 12, 31), "2026-12-31 277 d"),
        (date(2026, 4, 12), "2026-04-12 SOON 14 d"),
        (date(2026, 3, 29), "2026-03-29 SOON 0 d"),
        (date(2026, 3, 28), "2026-03-28 PAST"),
    ],
)
def test_a_last_day_is_told_with_what_it_leaves(last: date, said: str) -> None:
    """From fourteen days before on, where a site says nothing else, it is told by a word."""
    assert good_to(last, Bench().board, TODAY) == said


def test_a_lot_is_told_by_the_gravest_thing_about_it() -> None:
    """On hold goes first, and says why."""
    made = StockBench(units=1)
    lots = made.board.lots

    def state(number: str = "L-100", now: str = "0:00") -> str:
        return state_of(made.board.lots[number], made.board, at(now), FACE)

    assert state() == "in store"
    assert say_left(lots["L-100"]) == "1 of 1"
    made.open()
    assert state() == "open"
    made.must(made.box("L-100", units=0, good_after_opening=0))
    made.label()
    assert state() == "used up"
    assert state(now="9000:00:00") == "EXPIRED"
    made.must(RecallLot(by="op-1", lot="L-100"))
    assert state() == "ON HOLD, recalled"
    made.must(made.box("L-300", units=None))
    assert say_left(made.board.lots["L-300"]) == "not counted"


def test_a_box_that_was_open_too_long_says_so() -> None:
    """Though its own day is far."""
    made = StockBench()
    made.must(made.box("L-100", units=0, good_after_opening=3))
    made.must(BeginBox(by="op-1", lot="L-100", today=date(2026, 3, 1)))

    assert state_of(made.board.lots["L-100"], made.board, at("0:00"), FACE) == "open, OPEN TOO LONG"


def test_control_samples_of_a_lot_are_told_in_a_word() -> None:
    """A dash where nobody asks and none was run."""
    made = StockBench()
    made.materials()

    def said(now: str = "50:00") -> str:
        return of_samples(made.board.lots["L-100"], made.board, at(now))

    assert said() == "-"
    made.decides(controls_new_lot=True)
    assert said() == "DUE"
    made.whole_sample("C1", "PC-1", 0, CLEAR)
    made.whole_sample("C2", "NC-1", 0, NEGATIVE)
    assert said() == "passed"
    made.whole_sample("C3", "PC-1", 20, NEGATIVE)
    assert said() == "FAILED"


def test_what_is_due_says_on_what_since_when_and_why() -> None:
    """And by whom, where it is for one to do."""
    made = StockBench()
    made.decides(controls_new_lot=True)
    first = controls_due(made.board, NOW, TODAY)[0]
    assert say_due(first, NOW, made.board, FACE) == (
        "Lot L-100: control sample, positive DUE since 01:00:00 (new lot)"
    )
    later_on = at("30:00:00")
    assert "since 2026-03-29 01:00:00" in say_due(first, later_on, made.board, FACE)
    made.decides(controls_new_operator=True)
    theirs = controls_due(made.board, NOW, TODAY)[0]
    assert ", by op-1 (new operator)" in say_due(theirs, NOW, made.board, FACE)


def test_what_will_be_due_is_not_called_due() -> None:
    """The hour before."""
    made = StockBench()
    made.materials()
    made.decides(controls_every_hours=2)
    made.whole_sample("C1", "PC-1", 0, CLEAR)
    made.whole_sample("C2", "NC-1", 0, NEGATIVE)
    soon = controls_due(made.board, at("70:00"), TODAY)[0]

    assert say_due(soon, at("70:00"), made.board, FACE) == (
        "Lot L-100: control sample, positive due 03:00:00 (regular)"
    )


def test_a_sample_is_marked_by_words_wherever_a_person_would_stand() -> None:
    """And never taken for one in a sum."""
    sample, patient = BOARD.labelled("C2"), BOARD.labelled("C1")
    assert sample is not None
    assert patient is not None

    assert say_subject(sample, BOARD) == "control sample, positive, PC-1"
    assert say_short(sample, BOARD) == "sample +"
    assert (say_subject(patient, BOARD), say_short(patient, BOARD)) == ("P-001", None)
    told = "\n".join(sum_up(BOARD, NOW))
    assert "1 cartridge: 0 positive" in told
    assert "Control samples: 1 passed." in told


def test_a_day_without_a_sample_read_says_so() -> None:
    """Materials are there, and none was read."""
    made = StockBench()
    assert "Control samples" not in "\n".join(sum_up(made.board, NOW))
    made.materials()

    assert "Control samples: none read." in "\n".join(sum_up(made.board, NOW))


@pytest.mark.parametrize(
    ("last", "said"),
    [
        (date(2026, 12, 31), "Lot L-100 stands open at the bench."),
        (date(2026, 4, 12), "Lot L-100 stands open at the bench. 14 days are left of it."),
        (date(2026, 3, 30), "Lot L-100 stands open at the bench. 1 day is left of it."),
        (date(2026, 3, 29), "Lot L-100 stands open at the bench. Today is its last day."),
    ],
)
def test_whoever_opens_a_box_hears_that_its_days_are_nearly_over(last: date, said: str) -> None:
    """From fourteen days before on, or as the site says."""
    made = StockBench(expires=last)
    (event,) = made.must(OpenLot(by="op-1", lot="L-100", today=TODAY))

    assert tell(event, made.board, FACE) == said


def test_what_strayed_about_the_kit_stands_beside_the_cartridge() -> None:
    """The lot that went on hold before the drops, and the buffer of another kit."""
    made = StockBench()
    made.must(made.box("L-100", units=0, buffer="B-1"))
    made.label()
    cartridge = made.cartridge()
    assert say_strayed(cartridge, made.board) == ()
    made.must(made.hold_act())
    made.run("C1", begins=0)
    assert say_strayed(cartridge, made.board) == ("its lot went on hold",)
    made.must(UseBuffer(by="op-1", cartridge="C1", buffer="B-1"))
    assert len(say_strayed(cartridge, made.board)) == 1
    made.must(UseBuffer(by="op-1", cartridge="C1", buffer="B-2"))

    assert say_strayed(cartridge, made.board)[1] == "buffer B-2 of another kit"
