"""The loaded plan speaks in one line, and in a second one when it had to be moved."""

from __future__ import annotations

from builders import Bench, at
from core.starts.test_planned_starts import plan_of
from readbell.core.starts.events import PlanDropped, PlanLoaded
from readbell.phrases.plan_guide import say_guide, tell_of_plan


def test_nothing_is_said_without_a_plan() -> None:
    """No line, not an empty one."""
    assert list(say_guide(Bench().board, at("0:00"), at("0:00"))) == []


def test_the_next_of_the_plan_is_told_with_number_operator_and_time() -> None:
    """As long as it may be begun then."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00"))
    bench.must(bench.label_act("C1"))

    said = list(say_guide(bench.board, at("0:00"), at("0:30")))
    assert said == ["Plan: person 2 of 2, operator 2: in 1:30."]


def test_the_next_safe_start_goes_before_the_plan() -> None:
    """The plan knows what was meant, the safe start what is."""
    bench = Bench()
    bench.must(plan_of("0:00"))

    for safe in (at("3:00"), None):
        assert list(say_guide(bench.board, safe, at("0:00"))) == [
            "Plan: person 1 of 1, operator 1: due now, but not before the next safe start."
        ]


def test_a_plan_that_was_moved_says_by_how_much() -> None:
    """And when its last reading would be done."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00", ends="30:00"))

    assert list(say_guide(bench.board, at("0:00"), at("1:10")))[1] == (
        "Work is 1:10 behind the plan, so the rest of it was moved by as much; its last reading "
        "would be done in 30:00."
    )


def test_loading_and_dropping_are_told() -> None:
    """One line each in the log of the bay."""
    bench = Bench()
    loaded = bench.must(plan_of("0:00", "2:00", ends="30:00"))[0]
    assert isinstance(loaded, PlanLoaded)

    assert tell_of_plan(loaded) == (
        "A plan for 2 people is loaded; by it the last reading is done in 30:00."
    )
    assert tell_of_plan(PlanDropped(at=at("0:00"), by="key-op-1")) == "The plan is dropped."
