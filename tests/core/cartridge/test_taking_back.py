"""A step that was confirmed and had not been done is taken back, and the cartridge is as before it."""

from __future__ import annotations

import pytest

from builders import NASAL, Bench, at, span
from core.cartridge.taking_back_bench import ODD, TO_BUFFER, back, but_the_record
from readbell.core.cartridge.events import (
    Identified,
    StepDone,
    StepTakenBack,
    TakeBackReason,
)


@pytest.fixture
def bench() -> Bench:
    """A bench on which C1 was taken to its well by one act for each step, the drops at 2:30."""
    bench = Bench()
    bench.to_well()
    return bench


@pytest.mark.parametrize("undone", range(1, 6))
def test_the_cartridge_is_as_it_was_before_that_step(undone: int) -> None:
    """Stage, marks, specimen, deviations and the waits that ran, at their own times."""
    bench = Bench()
    bench.label()
    been = [bench.cartridge()]
    # The swab comes out late, so that this step brings a deviation with it.
    times = ("0:10", "0:20", "0:30", "5:00", "5:30")
    for step, now in zip((*TO_BUFFER, "withdraw", "apply"), times, strict=True):
        been.append(bench.step(step, now))
    last_first = [step.key for step in reversed(NASAL.steps[-undone:])]
    for step in last_first:
        bench.must(back(bench, step), "6:00")
    found = bench.cartridge()

    assert but_the_record(found) == but_the_record(been[-1 - undone])
    assert found.running_waits == been[-1 - undone].running_waits
    assert [each.event.steps for each in found.taken_back] == [(step,) for step in last_first]


def test_it_names_who_when_why_and_what(bench: Bench) -> None:
    """The event stands beside the step, which stays as it was confirmed."""
    act = back(bench, "apply", aim=bench.aim(by="op-2"), reason=TakeBackReason.ANOTHER_CARTRIDGE)
    (found,) = bench.must(act, "3:00")

    assert found == StepTakenBack(
        at=at("3:00"),
        by="key-op-2",
        cartridge="id-C1",
        steps=("apply",),
        reason=TakeBackReason.ANOTHER_CARTRIDGE,
        identified=Identified(),
    )


def test_what_was_taken_back_is_kept_as_it_was_confirmed() -> None:
    """With its instant, who pressed, and the deviation that came with it."""
    bench = Bench()
    bench.label()
    for step in TO_BUFFER:
        bench.step(step, "0:00")
    before = bench.step("withdraw", "5:00")
    bench.must(back(bench, "withdraw"), "5:10")
    (kept,) = bench.cartridge().taken_back

    assert kept.marks == (before.last_mark,)
    assert [(each.code, each.span) for each in kept.deviations] == [("extract-long", span("5:00"))]
    assert bench.cartridge().deviations == ()


def test_a_deviation_of_an_earlier_step_stays() -> None:
    """It came of a wait that really was too long."""
    bench = Bench()
    bench.label()
    for step in TO_BUFFER:
        bench.step(step, "0:00")
    bench.step("withdraw", "5:00")
    bench.step("apply", "5:20")
    bench.must(back(bench, "apply"), "5:30")

    assert [each.code for each in bench.cartridge().deviations] == ["extract-long"]


def test_a_wait_that_may_have_been_short_is_taken_back_with_the_step_that_cut_it() -> None:
    """An advisory least is a deviation too."""
    bench = Bench(ODD)
    bench.to_well(applied="1:10")
    assert [each.code for each in bench.cartridge().deviations] == ["withdraw-short"]
    bench.must(back(bench, "apply"), "1:12")
    assert bench.cartridge().deviations == ()
    bench.step("apply", "1:30")

    assert bench.cartridge().deviations == ()


def test_only_the_step_that_takes_the_specimen_gives_it_back() -> None:
    """What was collected stays collected when a later step was not done."""
    bench = Bench()
    bench.label()
    bench.step("buffer", "0:10")
    specimen = bench.step("collect", "0:20").specimen
    bench.step("extract", "0:30")
    bench.must(back(bench, "extract"), "0:40")
    kept = bench.cartridge().specimen
    bench.must(back(bench, "collect"), "0:50")

    assert kept == specimen is not None
    assert bench.cartridge().specimen is None


def test_a_step_done_keeps_when_it_was_confirmed() -> None:
    """A statement is confirmed later than it was done."""
    bench = Bench()
    bench.label()
    (done,) = bench.must(bench.step_act("buffer", done_at="0:10"), "1:00")

    assert isinstance(done, StepDone)
    assert bench.cartridge().last_mark.at == at("1:00")
