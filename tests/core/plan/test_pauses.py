"""The breaks of a loaded plan become breaks of hands: by name where it is known whose they are."""

from __future__ import annotations

from dataclasses import replace

from builders import Bench, at
from core.starts.test_planned_starts import plan_of, with_break
from readbell.core.plan.bench import Break
from readbell.core.plan.pauses import by_operator, pauses_of


def test_without_a_plan_or_without_breaks_there_are_none() -> None:
    """Hands are at work all the time."""
    bench = Bench()
    assert pauses_of(None, (), at("0:00")) == ()
    bench.must(plan_of("0:00"))
    assert pauses_of(bench.board.plan, (), at("0:00")) == ()


def test_a_break_counts_from_when_the_plan_was_loaded_and_is_over_at_its_end() -> None:
    """As the starts do."""
    bench = Bench()
    bench.must(with_break(1, "10:00", "15:00"), "1:00")
    (found,) = pauses_of(bench.board.plan, (), at("15:59"))

    assert found.at == Break(since=at("11:00"), until=at("16:00"))
    assert found.is_on(at("11:00"))
    assert not found.is_on(at("10:59"))
    assert pauses_of(bench.board.plan, (), at("16:00")) == ()


def test_a_break_is_theirs_who_began_the_first_person_of_that_number() -> None:
    """Others at work have nothing to do with it."""
    bench = Bench()
    bench.must(with_break(1, "10:00", "15:00"))
    bench.must(bench.label_act("C1"))

    (found,) = pauses_of(bench.board.plan, ("key-op-2", "key-op-1"), at("1:00"))
    assert found.by == "key-op-1"


def test_a_number_that_is_left_over_is_theirs_who_are_left_over() -> None:
    """Two are at work, and one of them is known to be number 1."""
    bench = Bench()
    bench.must(with_break(2, "10:00", "15:00"))
    bench.must(bench.label_act("C1"))

    (found,) = pauses_of(bench.board.plan, ("key-op-2", "key-op-1"), at("1:00"))
    assert (found.number, found.by) == (2, "key-op-2")


def test_before_anybody_is_known_the_break_is_a_nameless_hand_s() -> None:
    """It is counted all the same; no key of an operator has a blank in it."""
    bench = Bench()
    bench.must(with_break(2, "10:00", "15:00"))

    (found,) = pauses_of(bench.board.plan, (), at("1:00"))
    assert (found.number, found.by) == (2, "operator 2")


def test_several_breaks_of_one_operator_are_told_together() -> None:
    """In the order of time."""
    bench = Bench()
    act = with_break(1, "10:00", "15:00")
    (one,) = act.breaks
    (two,) = with_break(1, "30:00", "35:00").breaks
    (other,) = with_break(2, "30:00", "35:00").breaks
    bench.must(replace(act, breaks=(one, two, other)))

    assert by_operator(pauses_of(bench.board.plan, ("a", "b"), at("0:00"))) == {
        "a": (
            Break(since=at("10:00"), until=at("15:00")),
            Break(since=at("30:00"), until=at("35:00")),
        ),
        "b": (Break(since=at("30:00"), until=at("35:00")),),
    }
