"""A lot that was entered wrongly is corrected; what stood stays told, and what was begun is kept."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, LAST_DAY, NASAL, NEGATIVE, THREE_LINES, TODAY, at, private, span
from core.board.paper_bench import run
from core.board.stations_bench import SharedBay, one, reasons
from core.board.stock_bench import LATER, StockBench, correct, day
from readbell.core.board.events import ClockJumped
from readbell.core.board.fold import fold
from readbell.core.board.stock import decide_stock
from readbell.core.cartridge.events import SubjectKind
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode
from readbell.core.review.acts import ReleaseReading, WithdrawResult
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason, WithdrawReason
from readbell.core.stations.apart import ApartReason
from readbell.core.stock.acts import BeginBox, CorrectLot, RecallLot
from readbell.core.stock.events import LotCorrected

if TYPE_CHECKING:
    from core.board.stations_bench import Side
    from readbell.core.board.event import Event

YESTERDAY = date(2026, 3, 28)


def expired(ends: str = "10:00") -> CorrectLot:
    """The act that says of a lot that it has been out of date since then."""
    return correct(last_day=day(YESTERDAY, at(ends)), is_past=True)


def first(events: tuple[Event, ...]) -> LotCorrected:
    """The correction itself."""
    assert isinstance(events[0], LotCorrected)
    return events[0]


def test_the_right_last_day_stands_and_the_wrong_one_stays_told() -> None:
    """With who said so, and why."""
    bench = StockBench()
    event = first(bench.must(correct(last_day=day()), "1:00"))

    assert (event.expires, event.expires_before) == (LATER, LAST_DAY)
    assert (event.by, event.words) == ("key-op-1", private("typed wrongly"))
    assert event.assay == event.assay_before
    assert (bench.lot().expires, bench.lot().good_until) == (LATER, LATER)
    assert bench.board.stock_room.corrections == (event,)
    bench.must(bench.box("L-100", expires=LATER))
    assert bench.refused(bench.box("L-100")).code is RefusalCode.LOT_TWO_EXPIRIES


def test_a_day_that_is_past_is_meant_as_one() -> None:
    """Else it is a slip of the keys once more; the day itself still counts."""
    bench = StockBench()
    act = expired()
    assert bench.refused(replace(act, is_past=False)).subject == "day is past"
    bench.must(correct(last_day=day(TODAY)))
    assert bench.must(bench.label_act("C1", "P-001"))
    bench.must(act, "10:00")

    assert bench.refused(bench.label_act("C2", "P-002"), "11:00").code is RefusalCode.LOT_EXPIRED
    assert bench.lot().expires == YESTERDAY


@pytest.mark.parametrize(
    "said",
    [
        {},
        {"last_day": day(LAST_DAY)},
        {"assay": NASAL.id},
        {"last_day": day(LAST_DAY), "assay": NASAL.id},
    ],
)
def test_what_is_so_already_is_nothing_to_correct(said: dict[str, object]) -> None:
    """Whoever says it looked at another lot."""
    assert StockBench().refused(correct(**said)).subject == "nothing to correct"


def test_a_stranger_and_a_lot_that_nobody_knows_correct_nothing() -> None:
    """As with every act on a lot."""
    bench = StockBench()
    unknown = bench.refused(correct(lot="L-404", last_day=day()))
    stranger = decide_stock(bench.board, correct(by="nobody", last_day=day()), at("0:00"))

    assert unknown.code is RefusalCode.UNKNOWN_LOT
    assert getattr(stranger, "code", None) is RefusalCode.UNKNOWN_OPERATOR


def test_what_was_read_off_the_code_of_the_box_is_corrected_by_a_code_alone() -> None:
    """It is what the box says: a good day typed over it would let a bad box be used."""
    bench = StockBench()
    bench.must(bench.box("L-200", is_scanned=True))
    typed = correct(lot="L-200", last_day=day())
    assert bench.refused(typed).subject == "day off the code"
    event = first(bench.must(correct(lot="L-200", last_day=day(is_scanned=True))))

    assert event.is_scanned
    assert (bench.lot("L-200").expires, bench.lot("L-200").is_scanned) == (LATER, True)


def test_once_a_code_has_put_a_typed_day_right_nothing_is_typed_over_it() -> None:
    """From then on it is what the box says."""
    bench = StockBench()
    bench.must(correct(last_day=day(is_scanned=True)))
    assert bench.refused(correct(last_day=day(LAST_DAY))).subject == "day off the code"


def test_the_assay_is_corrected_as_long_as_nothing_was_begun() -> None:
    """By its steps and its window all that was begun was run."""
    bench = StockBench()
    bench.adopt(THREE_LINES)
    (event,) = bench.must(correct(assay=THREE_LINES.id))
    assert isinstance(event, LotCorrected)
    right = bench.board.assay_called(THREE_LINES.id)
    assert right is not None
    assert bench.lot().assay == event.assay == right.content_hash
    assert (event.expires, event.expires_before, event.ends) == (LAST_DAY, LAST_DAY, None)
    assert bench.refused(correct(assay="dipstick")).code is RefusalCode.NOT_ADOPTED
    bench.label()
    assert bench.refused(correct(assay=NASAL.id)).subject == "begun by its assay"
    bench.must(correct(last_day=day()))


def test_a_run_on_paper_is_begun_as_well() -> None:
    """It was judged by the assay that its lot had."""
    bench = StockBench()
    bench.adopt(THREE_LINES)
    bench.must(run(), "60:00")

    assert bench.refused(correct(assay=THREE_LINES.id), "61:00").subject == "begun by its assay"


def test_a_box_that_turns_out_to_be_of_another_assay_stands_open_no_more() -> None:
    """The next pouch is taken from a box that was looked at again; one of another lot stays open."""
    bench = StockBench()
    bench.adopt(THREE_LINES)
    bench.must(bench.box())
    bench.open()
    stood = []
    for act in (
        correct(lot="L-200", assay=THREE_LINES.id),
        correct(last_day=day()),
        correct(assay=THREE_LINES.id),
    ):
        bench.must(act)
        stood.append((bench.board.open_lot, [*bench.board.open_boxes.values()]))

    assert stood == [("L-100", ["L-100"]), ("L-100", ["L-100"]), (None, [])]
    bench.open()
    assert bench.board.open_lot == "L-100"


@pytest.mark.parametrize(("on_the_box", "days"), [(None, 5), (7, 7)])
def test_days_once_opened_go_with_the_assay_that_said_them(
    on_the_box: int | None, days: int
) -> None:
    """What was read off the box stays."""
    bench = StockBench(replace(NASAL, open_box_days=30))
    bench.adopt(replace(THREE_LINES, open_box_days=5))
    bench.must(bench.box("L-100", units=0, good_after_opening=on_the_box))
    bench.must(correct(assay=THREE_LINES.id))

    assert bench.lot().good_after_opening == days


def late_ones() -> StockBench:
    """A bench on which some cartridges were begun before 10:00 and some from then on."""
    bench = StockBench()
    bench.must(bench.box())
    bench.materials()
    bench.to_well("C1", "P-001")
    bench.label("C2", "P-002", "9:59.999")
    bench.label("C3", "P-002", "10:00")
    bench.must(bench.label_act("C4", "P-002", lot="L-200"), "10:00")
    bench.sample("S5", "PC-1", "10:00")
    bench.label("C6", "P-002", "11:00")
    bench.must(bench.void_act("C6"), "11:00")
    bench.label("C7", "P-002", "12:00")
    return bench


def test_what_was_begun_after_the_right_day_is_named_and_waits_for_a_supervisor() -> None:
    """It is not changed; what was begun on the day, of another lot or for nobody is left alone."""
    bench = late_ones()
    event, *held = bench.must(expired(), "20:00")

    assert isinstance(event, LotCorrected)
    assert event.cartridges == ("id-C3", "id-C6", "id-C7")
    assert [each.cartridge for each in held if isinstance(each, ReadingHeld)] == ["id-C3", "id-C7"]
    assert bench.cartridge("C3").held == bench.cartridge("C7").held == (HoldReason.LOT_EXPIRED,)
    for label in ("C1", "C2", "C4", "S5", "C6"):
        assert not bench.cartridge(label).held
    assert bench.cartridge("C7").stage is Stage.LABELLED


def test_what_was_taken_back_while_it_ran_is_held_no_more_by_recall_or_correction() -> None:
    """It is void, though nobody gave it up; the record would have no place for a hold."""
    bench = StockBench()
    bench.to_well("C1")
    bench.must(bench.look_act(CLEAR), "5:00")
    why = WithdrawReason.ANOTHER_PERSON
    bench.must(WithdrawResult(by="op-2", cartridge="C1", reason=why, words=private("x")), "6:00")
    corrected = bench.must(expired("0:00"), "7:00")
    recalled = bench.must(RecallLot(by="op-1", lot="L-100"), "8:00")

    assert (len(corrected), len(recalled)) == (1, 1)
    assert first(corrected).cartridges == ("id-C1",)
    assert not bench.cartridge("C1").held


def test_a_day_still_to_come_holds_nothing() -> None:
    """However many were begun."""
    assert first(late_ones().must(correct(last_day=day(ends=at("0:00"))), "20:00")).cartridges == ()


def test_what_waits_goes_on_waiting_though_the_day_is_corrected_once_more() -> None:
    """A supervisor has seen it on record that way, and says whether it stands."""
    bench = StockBench()
    bench.to_well("C1")
    bench.must(bench.read_act(NEGATIVE), "18:00")
    bench.must(expired("0:00"), "19:00")
    again = first(bench.must(correct(last_day=day()), "20:00"))
    assert (again.expires_before, again.cartridges) == (YESTERDAY, ())
    assert bench.cartridge("C1").held == (HoldReason.LOT_EXPIRED,)
    words = private("it was good")
    bench.must(ReleaseReading(by="op-2", cartridge="C1", words=words), "21:00")

    assert not bench.cartridge("C1").held
    assert bench.cartridge("C1").outcome is Outcome.NEGATIVE


def test_a_day_ended_when_the_clock_on_the_wall_said_so() -> None:
    """A clock that was set since changes nothing of what was before."""
    bench = StockBench()
    bench.label("C1", "P-001", "1:00")
    jumped = ClockJumped(at=at("2:00"), by_span=span("60:00"), cartridges=())
    bench.board = fold(bench.board, jumped)
    bench.label("C2", "P-002", "3:00")
    event = first(bench.must(expired("62:00"), "5:00"))

    assert event.cartridges == ("id-C2",)


def test_runs_on_paper_after_the_right_day_are_named() -> None:
    """By when they were read, as was stated."""
    bench = StockBench()
    bench.must(run(), "60:00")
    late = replace(run("22:00.001"), new_id="paper-2", label="C32", person="P-002")
    bench.must(late, "61:00")
    event = first(bench.must(expired("22:00.001"), "62:00"))

    assert event.paper_runs == ("paper-2",)


def test_a_lot_on_hold_stays_so() -> None:
    """A correction releases nothing."""
    bench = StockBench()
    bench.must(RecallLot(by="op-1", lot="L-100"))
    bench.must(correct(last_day=day()))

    assert bench.lot().is_recalled
    act = BeginBox(by="op-1", lot="L-100", today=TODAY)
    assert bench.refused(act).code is RefusalCode.LOT_ON_HOLD


def through(side: Side, label: str) -> None:
    """Begin somebody alone, and read what comes of it."""
    side.must(side.label_act(label, "P-002"), "3:00")
    for step in ("buffer", "collect", "extract"):
        side.must(side.step_act(step, label), "3:00")
    side.must(side.step_act("withdraw", label), "4:00")
    side.must(side.step_act("apply", label), "4:00")
    side.must(side.read_act(NEGATIVE, label), "20:00")


@pytest.mark.parametrize(("ended", "held"), [("3:00", (HoldReason.LOT_EXPIRED,)), ("3:00.001", ())])
def test_what_was_begun_alone_after_a_day_that_was_corrected_there_is_held(
    ended: str, held: tuple[HoldReason, ...]
) -> None:
    """Nobody here could know; what was begun before it had ended stands."""
    sides = SharedBay().cut()
    through(sides.ours, "A-01")
    sides.theirs.must(expired(ended), "5:00")

    found = sides.join()

    assert not found.apart
    assert one(found, "A-01").held == held
    assert one(found, "A-01").outcome is Outcome.NEGATIVE


def test_a_control_sample_that_was_begun_alone_so_late_is_nobodys_result() -> None:
    """As at one station."""
    bay = SharedBay()
    bay.must(bay.material())
    sides = bay.cut()
    act = sides.ours.label_act("A-01", "PC-1")
    sides.ours.must(replace(act, subject_kind=SubjectKind.CONTROL_SAMPLE), "3:00")
    sides.theirs.must(expired("2:30"), "5:00")

    assert one(sides.join(), "A-01").held == ()


def test_what_was_begun_alone_by_an_assay_that_was_corrected_there_is_apart() -> None:
    """It was run by the steps of another kit: nothing may come of it."""
    bay = SharedBay()
    bay.adopt(THREE_LINES)
    sides = bay.cut()
    sides.ours.must(sides.ours.label_act("A-01", "P-002"), "3:00")
    sides.ours.must(sides.ours.step_act("buffer", "A-01"), "3:00")
    sides.theirs.must(correct(assay=THREE_LINES.id), "5:00")

    found = sides.join()

    assert set(reasons(found)) == {ApartReason.DOES_NOT_FIT, ApartReason.FOLLOWS}
    assert "A-01" not in found.board.labels
    assert found.board.lots["L-100"].used == 0


def test_a_correction_made_alone_by_whatever_means_is_apart() -> None:
    """It waits for the link; so two stations never correct one lot against each other."""
    sides = SharedBay().cut()
    sides.ours.must_anyway(correct(last_day=day()), "3:00")
    sides.theirs.must(correct(last_day=day(TODAY)), "4:00")

    found = sides.join()

    assert reasons(found) == [ApartReason.NOT_ALONE]
    assert found.board.lots["L-100"].expires == TODAY
