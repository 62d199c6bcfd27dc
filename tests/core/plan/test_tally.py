"""What sums over runs say."""

from __future__ import annotations

from dataclasses import replace

import pytest

from readbell.core.instant import SECOND, Span
from readbell.core.plan.capacity import Target
from readbell.core.plan.tally import Tally

ONE = Tally(
    runs=2,
    people=5,
    operators=2,
    waits=(4, 0, 3, 2, 1),
    waited=16_500,
    delayed=6,
    busy=600,
    lasted=1_000,
    late=(1, 0),
    missed=1,
    missed_squares=1,
    runs_missing=1,
)
NONE = replace(
    ONE, runs=0, waits=(), waited=0, delayed=0, busy=0, lasted=0, missed=0, missed_squares=0
)


@pytest.mark.parametrize(("share", "seconds"), [(0.4, 0), (0.5, 2), (0.7, 2), (0.9, 3), (1.0, 4)])
def test_a_quantile_is_the_first_wait_that_enough_people_keep_to(
    share: float, seconds: int
) -> None:
    """Whole seconds, rounded up: nobody is told to wait less than they do."""
    assert ONE.wait_of(share) == Span(seconds * SECOND)


def test_more_than_there_are_wait_as_long_as_the_longest() -> None:
    """A share that rounding put beyond all people."""
    assert ONE.wait_of(1.1) == Span(4 * SECOND)
    assert NONE.wait_of(0.5) == Span(0)


def test_shares_and_means_count_everybody() -> None:
    """Ten people, two operators, a thousand milliseconds."""
    assert ONE.all_people == 10
    assert ONE.mean_wait == 1_650
    assert ONE.utilisation == 0.3
    assert ONE.waiting_longer(0) == 0.6
    assert ONE.waiting_longer(4) == 0
    assert ONE.any_missed.value == 0.5
    assert ONE.missed_share.value == pytest.approx(0.1)


def test_no_runs_have_no_figures() -> None:
    """Stopped before the first was played."""
    assert (NONE.mean_wait, NONE.utilisation, NONE.waiting_longer(0)) == (0, 0, 0)


def test_tallies_add_up_in_either_order() -> None:
    """Batches may come as they like."""
    longer = replace(ONE, waits=(1, 1, 1, 1, 1, 5), runs=3)

    assert ONE.plus(longer) == longer.plus(ONE)
    assert ONE.plus(longer).waits == (5, 1, 4, 3, 2, 5)
    assert ONE.plus(longer).runs == 5
    assert ONE.plus(NONE).waits == ONE.waits


def test_a_target_asks_for_the_end_of_the_interval() -> None:
    """None seen in a few runs shows little."""
    many = replace(ONE, runs=50_000, people=1, late=(0, 0), missed=0, missed_squares=0)
    few = replace(many, runs=1_000)
    target = Target(wait=Span(5 * SECOND), miss=1e-4)

    assert target.kept(many)
    assert not target.kept(few)
    assert not target.is_hopeless(few)


def test_what_plainly_fails_is_given_up() -> None:
    """Waits far over the target, or so many misses that more runs only confirm it."""
    slow = replace(ONE, waits=(0,) * 100 + (10,))
    missing = replace(ONE, runs=1_000, missed=900, missed_squares=900)

    assert Target(wait=Span(10 * SECOND), miss=0.9).is_hopeless(slow)
    assert Target(wait=Span(99 * SECOND), miss=1e-4).is_hopeless(missing)
