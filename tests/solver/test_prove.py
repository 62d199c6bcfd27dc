"""The search keeps what it has when it is stopped, and never comes back with less than it was given."""

from __future__ import annotations

from core.plan.batch.test_planner import FIRM, GLOVED, batch
from readbell.core.instant import SECOND, Span
from readbell.core.plan.batch.check import faults_of
from readbell.core.plan.batch.job import Break
from readbell.core.plan.batch.plan import Rule
from readbell.core.plan.batch.planner import plan
from readbell.solver.prove import Search, Standing, prove


def test_what_is_proven_already_is_not_looked_for() -> None:
    """The plan ends where its bound is."""
    asked = batch(FIRM, 8, 1)
    pure = plan(asked)

    assert prove(asked, pure, seconds=1) == pure


def test_a_better_timetable_is_told_and_proven() -> None:
    """12 people and two operators: 1685 s, also without any bound of ours (computed)."""
    asked = batch(FIRM, 12, 2)
    pure = plan(asked)
    heard: list[Standing] = []
    search = Search(asked, pure, seconds=60, told=heard.append)
    found = search.run()

    assert found.proven
    assert found.rule is Rule.SOLVER
    assert found.ends == found.bound == 1685 * SECOND < pure.ends
    assert heard[-1].ends == found.ends
    assert not list(faults_of(asked, found.placed))


def test_a_search_that_is_stopped_keeps_the_best_so_far() -> None:
    """With a bound that is still one, and without a claim."""
    asked = batch(GLOVED, 16, 2)
    pure = plan(asked)
    search = Search(asked, pure, seconds=300, told=lambda _: search.stop())
    found = search.run()

    assert pure.bound <= found.bound <= found.ends <= pure.ends
    assert not list(faults_of(asked, found.placed))


def test_no_time_at_all_gives_back_the_plan() -> None:
    """Nothing is lost by asking."""
    asked = batch(GLOVED, 20, 3)
    pure = plan(asked)
    found = prove(asked, pure, seconds=0.000_001)

    assert found.placed == pure.placed
    assert found.bound >= pure.bound


def test_breaks_and_gloves_bind_the_search_too() -> None:
    """An operator is away, and hands change gloves around it."""
    away = Break(operator=0, begins=Span(100 * SECOND), ends=Span(400 * SECOND))
    asked = batch(GLOVED, 4, 2, breaks=(away,))
    found = prove(asked, plan(asked), seconds=30)

    assert found.proven
    assert not list(faults_of(asked, found.placed))
