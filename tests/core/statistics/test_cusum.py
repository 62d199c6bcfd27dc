"""A running sum flags soon when hits are more frequent, and seldom when they are not."""

from __future__ import annotations

from math import inf
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readbell.core.statistics.cusum import Watch, run_length, watch_for


def tries_until_a_flag(watch: Watch, chance: float, runs: int, seed: int) -> float:
    """Return how many tries passed on average in made-up runs."""
    random, tries = Random(seed), 0  # noqa: S311  # chance for a test, no secret
    for _ in range(runs):
        steps = 0
        while not watch.flags(steps):
            steps, tries = watch.after(steps, hit=random.random() < chance), tries + 1
    return tries / runs


def test_what_a_limit_means_is_what_made_up_runs_show() -> None:
    """False alarms and the time to find a bad lot are worked out, and played as well."""
    watch = watch_for(0.02, 0.08, 2_000)

    assert watch is not None
    late = run_length(0.08, watch.up, watch.limit)
    assert tries_until_a_flag(watch, 0.08, 3_000, 1) == pytest.approx(late, rel=0.06)
    rare = run_length(0.02, watch.up, watch.limit)
    assert rare >= 2_000
    assert tries_until_a_flag(watch, 0.02, 150, 2) == pytest.approx(rare, rel=0.25)
    assert late < 100


def solved(chance: float, up: int, limit: int) -> float:
    """Return the same by asking again and again until nothing changes."""
    means = [0.0] * limit
    for _ in range(20_000):
        means = [
            1
            + (chance * means[steps + up] if steps + up < limit else 0.0)
            + (1 - chance) * means[max(0, steps - 1)]
            for steps in range(limit)
        ]
    return means[0]


@pytest.mark.parametrize(
    ("chance", "up", "limit"), [(0.3, 1, 1), (0.3, 1, 4), (0.2, 3, 7), (0.1, 9, 4), (0.5, 2, 5)]
)
def test_a_run_length_solves_its_own_equations(chance: float, up: int, limit: int) -> None:
    """Each sum leads to two others; a plain repetition comes to the same mean."""
    assert run_length(chance, up, limit) == pytest.approx(solved(chance, up, limit), rel=1e-6)


@settings(deadline=None)  # a busy computer is no fault of the limit
@given(
    st.floats(min_value=0.005, max_value=0.2),
    st.floats(min_value=2.0, max_value=4.0),
    st.integers(min_value=10, max_value=2_000),
)
def test_the_limit_is_the_lowest_that_keeps_false_alarms_so_rare(
    usual: float, times: float, wanted: int
) -> None:
    """One step lower there would be more of them."""
    watch = watch_for(usual, usual * times, wanted)

    assert watch is not None
    assert run_length(usual, watch.up, watch.limit) >= wanted
    assert watch.limit == 1 or run_length(usual, watch.up, watch.limit - 1) < wanted


@pytest.mark.parametrize(
    ("usual", "worse", "wanted"),
    [(0.0, 0.1, 100), (0.1, 0.1, 100), (0.2, 0.1, 100), (0.1, 1.0, 100), (0.1, 0.2, 0)],
)
def test_what_cannot_be_watched_for_is_not(usual: float, worse: float, wanted: int) -> None:
    """Nothing is frequenter than always, and nothing rarer than never."""
    assert watch_for(usual, worse, wanted) is None


def test_what_is_too_near_to_the_usual_is_not_watched_for() -> None:
    """Its limit would be so high that nobody lives to see a flag."""
    assert watch_for(0.01, 0.0101, 10**9) is None


def test_a_limit_that_is_never_reached_takes_for_ever() -> None:
    """Numbers end where the mean does not."""
    assert run_length(0.01, 1, 4_000) == inf


def test_a_sum_never_falls_below_nothing() -> None:
    """Or a long good time would hide a bad one."""
    watch = Watch(usual=0.1, worse=0.3, up=5, limit=12)

    assert watch.after(0, hit=False) == 0
    assert watch.after(3, hit=False) == 2
    assert watch.after(3, hit=True) == 8
    assert watch.flags(12)
    assert not watch.flags(11)
