"""A counted share and how sure it is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.core.statistics.proportion import wilson


def test_nothing_tried_says_nothing() -> None:
    """Anything from never to always."""
    assert (wilson(0, 0).low, wilson(0, 0).high) == (0.0, 1.0)


@given(tries=st.integers(1, 10_000), hits=st.integers(0, 10_000))
def test_the_share_lies_in_its_interval_and_the_interval_within_0_and_1(
    tries: int, hits: int
) -> None:
    """None of any number, all of it, and everything between."""
    found = wilson(min(hits, tries), tries)

    assert 0 <= found.low <= found.value <= found.high <= 1


@given(tries=st.integers(1, 1_000), hits=st.integers(0, 1_000))
def test_misses_are_as_sure_as_hits(tries: int, hits: int) -> None:
    """What is called a hit is a matter of words."""
    found, other = wilson(min(hits, tries), tries), wilson(tries - min(hits, tries), tries)

    assert found.low == pytest.approx(1 - other.high, abs=1e-12)
    assert found.high == pytest.approx(1 - other.low, abs=1e-12)


def test_more_tries_of_the_same_share_are_surer() -> None:
    """Ninety of a hundred says more than nine of ten."""
    few, many = wilson(9, 10), wilson(90, 100)

    assert few.low < many.low
    assert many.high < few.high
