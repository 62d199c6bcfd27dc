"""Batches, Ctrl-C, and the search for a crew."""

from __future__ import annotations

from dataclasses import replace

import pytest

from readbell.assays.library import Library
from readbell.core.instant import SECOND, Span
from readbell.core.plan.capacity import Premise, Rule, Target
from readbell.core.plan.work import work_of
from readbell.forecast.crew import smallest_crew
from readbell.forecast.forecast import Setting, forecast, has_numpy, nothing
from readbell.forecast.job import is_too_long

WORK = work_of(Library().find("respiratory-antigen-nasal"))
PREMISE = Premise(
    assay=WORK.assay,
    rule=Rule.CAREFUL,
    per_hour=20,
    people=10,
    spread=0.25,
    seed=1,
    gloves=WORK.gloves,
    wishes=True,
    windows=("withdraw", "read"),
)
PLAIN = Setting(work=WORK, premise=PREMISE, fast=False)
FAST = replace(PLAIN, fast=True)


def quiet(_done: int, _of: int) -> None:
    """Nobody looks at the progress."""


def test_numpy_is_here_for_the_tests() -> None:
    """Otherwise the fast way would never be tried."""
    assert has_numpy()


def test_both_ways_answer_the_same() -> None:
    """Who has no numpy waits longer for the same figures."""
    plain = forecast(PLAIN, 2, 60, quiet, nothing(PLAIN, 2))

    assert plain == forecast(FAST, 2, 60, quiet, nothing(FAST, 2))
    assert (plain.tally.runs, plain.stopped) == (60, False)


def test_what_was_played_before_is_not_played_again() -> None:
    """The search looks first and goes on afterwards."""
    first = forecast(FAST, 2, 40, quiet, nothing(FAST, 2))

    assert forecast(FAST, 2, 60, quiet, first.tally) == forecast(
        FAST, 2, 60, quiet, nothing(FAST, 2)
    )


def test_ctrl_c_keeps_what_was_done_and_says_how_much() -> None:
    """The batches that were finished count."""

    def stop(done: int, _of: int) -> None:
        if done >= 50:
            raise KeyboardInterrupt

    found = forecast(PLAIN, 1, 1_000, stop, nothing(PLAIN, 1))

    assert found.stopped
    assert (found.tally.runs, found.asked) == (50, 1_000)


def test_progress_is_told_after_each_batch() -> None:
    """Runs done, runs asked for."""
    told: list[tuple[int, int]] = []

    forecast(PLAIN, 1, 60, lambda done, of: told.append((done, of)), nothing(PLAIN, 1))

    assert told == [(25, 60), (50, 60), (60, 60)]


def searched(target: Target, runs: int = 3_000) -> list[int]:
    """The sizes of crew that were tried."""
    found = smallest_crew(FAST, target, range(1, 5), runs, lambda _: quiet)
    return [each.tally.operators for each in found]


def test_the_search_ends_at_the_first_crew_that_keeps_the_target() -> None:
    """One operator lets people wait too long, two do not."""
    assert searched(Target(wait=Span(600 * SECOND), miss=0.01)) == [1, 2]


def test_a_crew_that_plainly_fails_is_given_up_early() -> None:
    """The first look is enough for it."""
    found = smallest_crew(
        FAST, Target(wait=Span(60 * SECOND), miss=0.01), range(1, 2), 3_000, lambda _: quiet
    )

    assert [each.tally.runs for each in found] == [2_048]


def test_where_only_runs_are_too_few_no_larger_crew_is_tried() -> None:
    """Nothing was missed, but so few runs cannot show one in a million."""
    assert searched(Target(wait=Span(6_000 * SECOND), miss=1e-6), runs=300) == [1]


def test_a_target_that_nobody_keeps_is_looked_for_to_the_end() -> None:
    """Hands that are never idle miss windows in every crew."""
    busy = replace(FAST, premise=replace(PREMISE, rule=Rule.BUSY))
    target = Target(wait=Span(6_000 * SECOND), miss=1e-6)

    found = smallest_crew(busy, target, range(1, 5), 300, lambda _: quiet)

    assert [each.tally.operators for each in found] == [1, 2, 3, 4]


def test_ctrl_c_ends_the_search() -> None:
    """No larger crew is begun."""

    def stop(_done: int, _of: int) -> None:
        raise KeyboardInterrupt

    found = smallest_crew(FAST, Target(wait=Span(1), miss=0.5), range(1, 5), 100, lambda _: stop)

    assert [each.stopped for each in found] == [True]


@pytest.mark.parametrize(("people", "too_long"), [(1_500, False), (5_000, True)])
def test_runs_beyond_what_can_be_counted_are_known_beforehand(people: int, too_long: bool) -> None:
    """Twelve days of milliseconds."""
    assert is_too_long(WORK, people) is too_long
