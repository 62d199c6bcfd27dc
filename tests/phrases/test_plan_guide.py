"""The loaded plan speaks in one line, and in a second one when it moved or was made anew."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC

import pytest

from builders import Bench, at, span
from core.plan.real_bay import around
from core.starts.test_planned_starts import plan_of, with_break
from readbell.core.plan.course import Cause, Course, Why, follow
from readbell.core.plan.pauses import pauses_of
from readbell.core.starts.events import PlanDropped, PlanLoaded
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.plan_guide import say_away, say_guide, say_pauses, say_turn, tell_of_plan

FACE = ClockFace(zone=UTC)


def guide(bench: Bench, safe: str | None, now: str, last: Course | None = None) -> list[str]:
    """Return what is said at `now`, the next safe start being at `safe`."""
    course = follow(last, bench.board.plan, around(bench), at(now))
    return list(say_guide(bench.board, course, None if safe is None else at(safe), at(now), FACE))


def test_nothing_is_said_without_a_plan() -> None:
    """No line, not an empty one."""
    bench = Bench()
    assert guide(bench, "0:00", "0:00") == []
    assert say_turn(bench.board, None, at("0:00"), at("0:00")) == ()


def test_the_next_of_the_plan_is_told_with_number_operator_and_time() -> None:
    """As long as it may be begun then."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00"))
    bench.must(bench.label_act("C1"))

    assert guide(bench, "0:00", "0:30") == ["Plan: person 2 of 2, operator 2: in 1:30."]


def test_the_turn_is_told_in_fewer_and_fewer_words() -> None:
    """Number, operator and time are in all of them."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00"))
    bench.must(bench.label_act("C1"))
    course = follow(None, bench.board.plan, around(bench), at("0:30"))

    assert say_turn(bench.board, course, at("0:30"), at("0:30")) == (
        "plan: person 2 of 2, operator 2: in 1:30",
        "plan: 2 of 2, operator 2: in 1:30",
        "plan: 2 of 2, op. 2: in 1:30",
    )


def test_nobody_s_turn_is_told_before_the_next_safe_start() -> None:
    """Two answers side by side must not say two things."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00"))
    course = follow(None, bench.board.plan, around(bench), at("0:00"))

    for safe, when in ((at("1:00"), "in 1:00"), (None, "waits")):
        for said in say_turn(bench.board, course, safe, at("0:00")):
            assert said.endswith(f": {when}")


def test_a_course_of_another_plan_says_nothing() -> None:
    """What is worked out may be one act older than the board."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00"))
    course = follow(None, bench.board.plan, around(bench), at("0:00"))
    bench.must(plan_of("5:00"), "0:01")

    assert say_turn(bench.board, course, at("0:00"), at("0:01")) == ()


def test_the_next_safe_start_goes_before_the_plan() -> None:
    """The plan knows what was meant, the safe start what is."""
    bench = Bench()
    bench.must(plan_of("0:00"))

    for safe in ("3:00", None):
        assert guide(bench, safe, "0:00") == [
            "Plan: person 1 of 1, operator 1: due now, but not before the next safe start."
        ]


def test_a_plan_that_moved_says_by_how_much() -> None:
    """And when its last reading would be done."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00", ends="30:00"))

    assert guide(bench, "0:00", "0:20")[1] == (
        "Work is 0:20 behind it, so the rest of it moves; the last reading would be done in 30:00."
    )


@pytest.mark.parametrize(
    ("now", "is_told"), [("0:00.001", False), ("0:09.999", False), ("0:10", True)]
)
def test_a_moment_is_nothing_to_be_behind_by(now: str, *, is_told: bool) -> None:
    """Whoever loads a plan and reads it has not failed it yet."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00", ends="30:00"))

    assert any("behind it" in each for each in guide(bench, "0:00", now)) is is_told


def test_a_plan_made_anew_says_when_and_why() -> None:
    """By the operator's name, once it is known who that is."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00", "4:00"))
    bench.must(bench.label_act("C1"), "1:20")

    said = guide(bench, "1:20", "1:20")
    assert said[0].startswith("Plan: person 2 of 3, operator 2: in ")
    assert said[1].startswith("Planned anew at 00:54:40, as person 1 began 1:20 late; ")
    bench.step("buffer", "1:30")
    assert "op-1" in bench.board.operators


@pytest.mark.parametrize(
    ("why", "said"),
    [
        (Why.BEGAN_LATE, "as person 4 began 1:20 late"),
        (Why.BEGAN_EARLY, "as person 4 began 1:20 early"),
        (Why.NOT_BEGUN, "as person 4 was not begun, 1:20 after the time"),
        (Why.WORK, "as what runs would have made person 4 1:20 late"),
    ],
)
def test_each_cause_has_its_words(why: Why, said: str) -> None:
    """Whose start, and by how much."""
    bench = Bench()
    bench.must(plan_of("0:00"))
    course = follow(None, bench.board.plan, around(bench), at("0:00"))
    assert course is not None
    cause = Cause(why=why, number=4, by=span("1:20"))
    course = replace(
        course,
        made=at("0:00"),
        cause=cause,
        starts=(replace(course.starts[0], name="key-op-1"),),
    )

    lines = list(say_guide(bench.board, course, at("0:00"), at("0:00"), FACE))
    assert lines[0] == "Plan: person 1 of 1, op-1: now."
    assert said in lines[1]


def test_loading_and_dropping_are_told() -> None:
    """One line each in the log of the bay."""
    bench = Bench()
    loaded = bench.must(plan_of("0:00", "2:00", ends="30:00"))[0]
    assert isinstance(loaded, PlanLoaded)

    assert tell_of_plan(loaded) == (
        "A plan for 2 people is loaded; by it the last reading is done in 30:00."
    )
    assert tell_of_plan(PlanDropped(at=at("0:00"), by="key-op-1")) == "The plan is dropped."


@pytest.mark.parametrize(
    ("now", "said", "away"),
    [
        ("9:00", "op-1 has a break in 1:00, from 01:03:20 to 01:08:20.", ()),
        (
            "10:00",
            "op-1 is on a break until 01:08:20, in 5:00.",
            ("op-1 on a break until 01:08:20", "op-1 away until 01:08:20", "op-1 away"),
        ),
    ],
)
def test_who_is_on_a_break_is_said_and_whose_comes_next(
    now: str, said: str, away: tuple[str, ...]
) -> None:
    """Once it is known whose it is, by name; an answer that is a little older says nothing past."""
    bench = Bench()
    bench.must(with_break(1, "10:00", "15:00"))
    bench.must(bench.label_act("C1"))
    found = pauses_of(bench.board.plan, (), at(now))

    assert list(say_pauses(found, bench.board, at(now), FACE)) == [said]
    assert say_away(found, bench.board, at(now), FACE) == away
    assert list(say_pauses(found, bench.board, at("15:00"), FACE)) == []
    assert say_away(found, bench.board, at("15:00"), FACE) == ()


def test_of_the_breaks_to_come_the_next_alone_is_said() -> None:
    """By the number in the plan, where nobody is known for it."""
    bench = Bench()
    act = with_break(1, "10:00", "15:00")
    (other,) = with_break(2, "20:00", "25:00").breaks
    (loaded,) = bench.must(replace(act, breaks=(*act.breaks, other)))
    found = pauses_of(bench.board.plan, (), at("0:00"))

    assert list(say_pauses(found, bench.board, at("0:00"), FACE)) == [
        "operator 1 has a break in 10:00, from 01:03:20 to 01:08:20."
    ]
    assert isinstance(loaded, PlanLoaded)
    assert "is loaded, with 2 breaks; by it" in tell_of_plan(loaded)
    one = replace(loaded, breaks=loaded.breaks[:1])
    assert "is loaded, with 1 break; by it" in tell_of_plan(one)
