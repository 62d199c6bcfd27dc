"""A key takes no time and a swab does: nothing is done sooner than usual hands could have done it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import NASAL, START, Bench, at, span
from readbell.core.board.entry import Do, Entry
from readbell.core.instant import Instant, later
from readbell.core.rehearsal.hands_time import Busy

IDLE = Busy(since=Instant(START))
FIRST = ("buffer", "collect", "extract")
HANDS_ON = {step.key: step.hands_on for step in NASAL.steps}
OF_FIRST = sum(HANDS_ON[key] for key in FIRST)


def label(lot: str = "L-100", by: str = "op-1") -> Entry:
    """Return the start of a cartridge."""
    return Entry(do=Do.LABEL, by=by, cartridge="C1", person="P-001", lot=lot)


def steps(*keys: str, cartridge: str = "C1", by: str = "op-1") -> Entry:
    """Return several steps in one act."""
    return Entry(do=Do.STEPS, by=by, cartridge=cartridge, steps=keys)


def step(key: str, cartridge: str = "C1", by: str = "op-1") -> Entry:
    """Return one step."""
    return Entry(do=Do.STEP, by=by, cartridge=cartridge, step=key)


def read(do: Do = Do.READ, by: str = "op-1") -> Entry:
    """Return a reading, or an early look."""
    return Entry(do=do, by=by, cartridge="C1", control=True)


def labelled() -> Bench:
    """Return a bench on which C1 was labelled at the start."""
    bench = Bench()
    bench.label("C1", "P-001")
    return bench


def developing() -> Bench:
    """Return a bench on which C1 had its drops at 2:30; its window opens at 17:30."""
    bench = labelled()
    for key in FIRST:
        bench.step(key, "0:00", "C1")
    bench.step("withdraw", "1:00", "C1")
    bench.step("apply", "2:30", "C1")
    return bench


def test_a_device_is_labelled_no_sooner_than_hands_can() -> None:
    """Counted from the beginning, where nobody has done anything yet."""
    soonest = IDLE.soonest(Bench().board, label(), at("0:02"))

    assert soonest == later(at("0:00"), HANDS_ON["label"])


def test_nobody_is_begun_before_they_came() -> None:
    """However long somebody stood idle; and of any other work it says nothing."""
    soonest = IDLE.soonest(Bench().board, label(), at("5:02"), at("5:00"))
    assert soonest == later(at("5:00"), HANDS_ON["label"])

    board = labelled().board
    assert IDLE.soonest(board, step("buffer"), at("5:02"), at("5:00")) == at("5:02")


def test_whoever_takes_longer_takes_longer() -> None:
    """Nothing is put off that may have been done."""
    assert IDLE.soonest(Bench().board, label(), at("5:00")) == at("5:00")


def test_steps_in_one_act_take_the_time_of_all() -> None:
    """The minute in the buffer runs from when the swab is in it, and not from a key."""
    board = labelled().board

    assert IDLE.soonest(board, steps(*FIRST), at("0:01")) == at("0:00") + OF_FIRST


def test_work_counts_from_the_last_thing_the_operator_did() -> None:
    """And the other operator's own hands from theirs."""
    board = labelled().board
    busy = IDLE.after(board, label(), at("1:00"))

    assert busy.soonest(board, step("buffer"), at("1:01")) == later(at("1:00"), HANDS_ON["buffer"])
    assert busy.soonest(board, step("buffer", by="op-2"), at("1:01")) == at("1:01")


def test_nobody_begins_before_a_wait_is_over() -> None:
    """Idle hands may stand ready, but the swab stays in its minute."""
    bench = labelled()
    for key in FIRST:
        bench.step(key, "0:00", "C1")

    soonest = IDLE.soonest(bench.board, step("withdraw"), at("1:00"))
    assert soonest == later(at("1:00"), HANDS_ON["withdraw"])


def test_what_is_tried_too_soon_is_not_put_off_until_it_may_be_done() -> None:
    """The mistake is the trainee's to make, and the bay's to refuse."""
    bench = labelled()
    for key in FIRST:
        bench.step(key, "0:00", "C1")
    busy = IDLE.after(bench.board, steps(*FIRST), at("0:00"))

    soonest = busy.soonest(bench.board, step("withdraw"), at("0:05"))
    assert soonest == later(at("0:00"), HANDS_ON["withdraw"])


def test_a_reading_is_begun_no_sooner_than_its_window() -> None:
    """A look takes its time, whenever the strip was first looked at."""
    board = developing().board
    hands_on = NASAL.reading.hands_on

    assert IDLE.soonest(board, read(), at("17:30")) == later(at("17:30"), hands_on)
    assert IDLE.soonest(board, read(Do.LOOK), at("5:00")) == at("5:00")
    busy = IDLE.after(board, step("apply"), at("4:59"))
    assert busy.soonest(board, read(Do.LOOK), at("5:00")) == later(at("4:59"), hands_on)


def test_a_reading_too_early_is_refused_and_not_put_off() -> None:
    """Nothing waits for the window in anybody's stead."""
    board = developing().board

    assert IDLE.soonest(board, read(), at("10:00")) == at("10:00")


def test_gloves_are_changed_between_two_people() -> None:
    """Not between two steps on the same one, and never for a reading."""
    bench = labelled()
    bench.label("C2", "P-002")
    board = bench.board
    busy = IDLE.after(board, step("collect"), at("1:00"))

    same = busy.soonest(board, step("collect"), at("1:00"))
    other = busy.soonest(board, step("collect", cartridge="C2"), at("1:00"))
    assert same == later(at("1:00"), HANDS_ON["collect"])
    assert other == later(same, NASAL.glove_change)
    looked = busy.after(board, Entry(do=Do.READ, by="op-1", cartridge="C2"), at("1:00"))
    assert looked.touched == busy.touched


@pytest.mark.parametrize(
    "entry",
    [
        label(lot="L-999"),
        step("buffer", cartridge="C9"),
        Entry(do=Do.VOID, by="op-1", cartridge="C1"),
        Entry(do=Do.ANSWER, by="op-1", interruption=1),
        replace(step("buffer"), done_at=at("0:00")),
    ],
)
def test_what_takes_no_hands_or_was_done_before_takes_no_time(entry: Entry) -> None:
    """It is judged at once."""
    assert IDLE.soonest(labelled().board, entry, at("0:01")) == at("0:01")


def test_whatever_was_tried_its_time_is_gone() -> None:
    """Also where the bay has never heard of the cartridge."""
    busy = IDLE.after(labelled().board, step("buffer", cartridge="C9"), at("3:00"))

    assert busy.free == {"op-1": at("3:00")}
    assert busy.touched == {}


def test_the_figures_are_those_of_the_assay() -> None:
    """So that these tests say something."""
    assert span("1:20") == OF_FIRST
