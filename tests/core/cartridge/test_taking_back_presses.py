"""What one press confirmed is taken back as one, and nothing else with it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import NASAL, Bench, span
from core.cartridge.taking_back_bench import LOOSE, TO_BUFFER, back, but_the_record, doing
from readbell.core.assay.step import Wait
from readbell.core.cartridge.acts import DoSteps
from readbell.core.cartridge.events import (
    StepTakenBack,
)
from readbell.core.cartridge.taking_back import (
    confirmed_last,
)
from readbell.core.refusal import Refusal, RefusalCode


def test_several_steps_by_one_press_are_taken_back_by_one() -> None:
    """One press was the mistake; none of them but the last had a time of its own."""
    bench = Bench()
    labelled = bench.label()
    bench.must(DoSteps(aim=bench.aim(), steps=TO_BUFFER, new_specimen="s"), "1:20")
    (found,) = bench.must(back(bench, "extract"), "1:30")

    assert isinstance(found, StepTakenBack)
    assert found.steps == TO_BUFFER
    assert but_the_record(bench.cartridge()) == but_the_record(labelled)


@pytest.mark.parametrize("step", ["buffer", "collect"])
def test_a_step_inside_one_press_is_not_taken_back_by_itself(step: str) -> None:
    """The refusal names the one that the press ended with."""
    bench = Bench()
    bench.label()
    bench.must(DoSteps(aim=bench.aim(), steps=TO_BUFFER, new_specimen="s"), "1:20")

    assert bench.refused(back(bench, step), "1:30") == Refusal(
        code=RefusalCode.OUT_OF_ORDER, subject="Swab into the buffer"
    )


def test_two_presses_one_after_the_other_are_two() -> None:
    """Each was a press of its own, so each is taken back by its own."""
    bench = Bench(LOOSE)
    bench.label()
    bench.must(doing(bench, "buffer", "collect"), "0:20")
    bench.must(doing(bench, "extract", "withdraw"), "0:40")

    assert [each.step for each in confirmed_last(bench.cartridge())] == ["extract", "withdraw"]
    bench.must(back(bench, "withdraw"), "0:50")
    assert [each.step for each in confirmed_last(bench.cartridge())] == ["buffer", "collect"]


def test_two_people_who_press_at_one_instant_have_pressed_twice() -> None:
    """Whose press it was is part of what one press is."""
    bench = Bench(LOOSE)
    bench.label()
    bench.must(doing(bench, "buffer", "collect"), "0:20")
    bench.must(doing(bench, "extract", "withdraw", by="op-2"), "0:20")

    assert [each.step for each in confirmed_last(bench.cartridge())] == ["extract", "withdraw"]


def test_two_presses_that_state_one_moment_are_two() -> None:
    """They were confirmed at different instants, though they speak of the same one."""
    bench = Bench(LOOSE)
    bench.label()
    bench.must(doing(bench, "buffer", "collect", done_at="0:20"), "1:00")
    bench.must(doing(bench, "extract", "withdraw", done_at="0:20"), "1:10")

    assert [each.step for each in confirmed_last(bench.cartridge())] == ["extract", "withdraw"]


def test_two_presses_at_one_instant_that_state_different_moments_are_two() -> None:
    """A program may enter both in the same millisecond."""
    bench = Bench(LOOSE)
    bench.label()
    bench.must(doing(bench, "buffer", "collect", done_at="0:20"), "1:00")
    bench.must(doing(bench, "extract", "withdraw", done_at="0:30"), "1:00")

    assert [each.step for each in confirmed_last(bench.cartridge())] == ["extract", "withdraw"]


def test_a_step_pressed_by_itself_is_no_part_of_the_press_before_it_or_behind_it() -> None:
    """Even at the same instant, by the same operator."""
    bench = Bench(LOOSE)
    bench.label()
    bench.must(doing(bench, "buffer", "collect"), "0:20")
    bench.step("extract", "0:20")
    alone = [each.step for each in confirmed_last(bench.cartridge())]
    bench.must(back(bench, "extract"), "0:20")
    bench.must(back(bench, "collect"), "0:20")
    bench.step("buffer", "0:20")
    bench.must(doing(bench, "collect", "extract"), "0:20")

    assert alone == ["extract"]
    assert [each.step for each in confirmed_last(bench.cartridge())] == ["collect", "extract"]


def test_a_clock_ends_a_press() -> None:
    """A step that a clock hangs on is the last of its press: what came behind it was another one."""
    steps = tuple(
        replace(
            step, wait=Wait(until="apply", least=span("0:01")) if step.key == "collect" else None
        )
        for step in NASAL.steps
    )
    bench = Bench(replace(NASAL, steps=steps))
    bench.label()
    bench.must(doing(bench, "buffer", "collect"), "0:20")
    bench.must(doing(bench, "extract", "withdraw"), "0:20")

    assert [each.step for each in confirmed_last(bench.cartridge())] == ["extract", "withdraw"]
