"""Lengths are counted as they come in, and a year of them takes no more room."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.core.statistics.spread import Spread


def spread_of(*lengths: int) -> Spread:
    """Count each of `lengths`."""
    found = Spread()
    for each in lengths:
        found.add(each)
    return found


def test_a_quantile_lies_between_its_neighbours() -> None:
    """In proportion to where it falls between their ranks."""
    assert spread_of(10, 20, 40).quantiles(0.0, 0.25, 0.5, 0.75, 1.0) == (10, 15, 20, 30, 40)


def test_of_nothing_there_is_no_quantile() -> None:
    """Not even the middle of it."""
    assert spread_of().quantiles(0.5) == ()


@given(st.lists(st.integers(min_value=0, max_value=50), min_size=1), st.floats(0.0, 1.0))
def test_quantiles_stay_among_what_was_seen(lengths: list[int], share: float) -> None:
    """And one length alone is each of its quantiles."""
    (found,) = spread_of(*lengths).quantiles(share)

    assert min(lengths) <= found <= max(lengths)
    assert spread_of(lengths[0]).quantiles(share) == pytest.approx((lengths[0],))


@given(st.lists(st.integers(min_value=0, max_value=50)))
def test_every_length_is_counted_once(lengths: list[int]) -> None:
    """Within its borders, both included."""
    found = spread_of(*lengths)

    assert found.count == len(lengths)
    assert found.within(0, 50) == len(lengths)
    assert found.within(10, 20) == sum(10 <= each <= 20 for each in lengths)
