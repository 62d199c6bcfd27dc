"""A site's own times, from what its record says, and from nothing else."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from builders import NASAL, START, Bench, span
from readbell.core.cartridge.cartridge import StepMark
from readbell.core.cartridge.moment import stated, timed
from readbell.core.instant import Span, later
from readbell.core.plan.hands_on import HandsOn
from readbell.core.plan.learnt import AT_MOST, ENOUGH, learnt

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge

LABELLED = Bench().label()


def done(step: str, at: int, by: str = "a") -> StepMark:
    """Return a step that was pressed `at` seconds after the start."""
    return StepMark(step=step, done=timed(later(START, Span(at * 1000))), by=by)


def cartridge(*marks: StepMark) -> Cartridge:
    """Return a cartridge with these marks."""
    return replace(LABELLED, marks=marks)


def timings(*seconds: int) -> list[Cartridge]:
    """Return a cartridge for each time that the buffer took."""
    return [cartridge(done("label", 0), done("buffer", each)) for each in seconds]


def test_too_few_timings_tell_nothing() -> None:
    """Forty are asked for."""
    assert learnt(timings(*range(1, ENOUGH))) == {}
    assert learnt(timings(*range(1, ENOUGH + 1)))[NASAL.id].keys() == {"buffer"}


def test_bounds_leave_out_five_of_a_hundred_at_either_end() -> None:
    """The nearest rank: of 1 to 100 seconds the 5th, the 50th and the 95th."""
    found = learnt(timings(*reversed(range(1, 101))))[NASAL.id]["buffer"]

    assert found == HandsOn(least=span("0:05"), usual=span("0:50"), most=span("1:35"))


def test_a_step_after_a_wait_tells_nothing() -> None:
    """Nobody records when the hand turned to it; the one after it does tell."""
    every = [
        cartridge(done("extract", 0), done("withdraw", 90), done("apply", 110))
        for _ in range(ENOUGH)
    ]

    assert learnt(every) == {
        NASAL.id: {"apply": HandsOn(least=span("0:20"), usual=span("0:20"), most=span("0:20"))}
    }


def test_what_was_stated_or_confirmed_together_tells_nothing() -> None:
    """Nor what came after it, for its own beginning is not known either."""
    said = StepMark(
        step="buffer",
        done=stated(later(START, span("0:10")), Span(0), not_before=START, recorded=START),
        by="a",
    )
    together = replace(done("buffer", 10), together=True)
    doubted = replace(done("buffer", 10), doubted=START)
    for odd in (said, together, doubted):
        every = [cartridge(done("label", 0), odd, done("collect", 50)) for _ in range(ENOUGH)]
        assert learnt(every) == {}


def test_a_step_that_another_operator_took_over_tells_nothing() -> None:
    """Between the two lies a handing over, of unknown length."""
    every = [cartridge(done("label", 0), done("buffer", 10, by="b")) for _ in range(ENOUGH)]

    assert learnt(every) == {}


def test_of_a_long_record_only_the_latest_are_looked_at() -> None:
    """Old work tells of other hands, and memory stays bounded."""
    slow, quick = timings(*[60] * AT_MOST), timings(*[10] * AT_MOST)

    assert learnt(iter([*quick, *slow]))[NASAL.id]["buffer"].most == span("0:10")
