"""Counts are judged by the binomial distribution itself, however few they are."""

from __future__ import annotations

from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.core.statistics.binomial import Usual, at_least, at_most, exact, usual

TRIES = st.integers(min_value=1, max_value=60)
CHANCES = st.floats(min_value=0.001, max_value=0.999)


def added(first: int, last: int, tries: int, chance: float) -> float:
    """Add up the binomial probabilities, term by term."""
    return sum(
        comb(tries, hits) * chance**hits * (1 - chance) ** (tries - hits)
        for hits in range(first, last + 1)
    )


@given(st.data(), TRIES, CHANCES)
def test_both_tails_are_what_their_terms_add_up_to(
    data: st.DataObject, tries: int, chance: float
) -> None:
    """The tails are worked out from one term and ratios; here each term stands for itself."""
    hits = data.draw(st.integers(min_value=0, max_value=tries))

    assert at_most(hits, tries, chance) == pytest.approx(added(0, hits, tries, chance), abs=1e-12)
    assert at_least(hits, tries, chance) == pytest.approx(
        added(hits, tries, tries, chance), abs=1e-12
    )


@pytest.mark.parametrize(
    ("hits", "tries", "chance", "below", "above"),
    [
        (-1, 5, 0.5, 0.0, 1.0),
        (5, 5, 0.5, 1.0, 0.03125),
        (6, 5, 0.5, 1.0, 0.0),
        (2, 5, 0.0, 1.0, 0.0),
        (2, 5, 1.0, 0.0, 1.0),
        (0, 5, 1.0, 0.0, 1.0),
    ],
)
def test_what_is_certain_is_certain(
    hits: int, tries: int, chance: float, below: float, above: float
) -> None:
    """At the ends nothing is left to chance."""
    assert at_most(hits, tries, chance) == pytest.approx(below)
    assert at_least(hits, tries, chance) == pytest.approx(above)


@given(TRIES, CHANCES, st.floats(min_value=0.0005, max_value=0.05))
def test_outside_the_limits_of_a_chart_lies_no_more_than_was_asked_for(
    tries: int, chance: float, tail: float
) -> None:
    """And one count further in there would lie more: the limits are as tight as they can be."""
    found = usual(tries, chance, tail)

    assert at_most(found.least - 1, tries, chance) <= tail
    assert at_least(found.most + 1, tries, chance) <= tail
    assert at_most(found.least, tries, chance) > tail or found.least == tries
    assert at_least(found.most, tries, chance) > tail or found.most == 0
    assert found.holds(found.least)
    assert found.holds(found.most)
    assert not found.holds(found.most + 1)


def test_where_tries_are_few_no_count_of_none_is_too_seldom() -> None:
    """A day of five tests without an invalid one says nothing."""
    assert usual(5, 0.02).least == 0


@given(st.data(), TRIES)
def test_an_exact_interval_leaves_its_tail_at_each_end(data: st.DataObject, tries: int) -> None:
    """At each end of it the count that was seen is just so seldom."""
    hits = data.draw(st.integers(min_value=0, max_value=tries))
    found = exact(hits, tries)

    assert found.low <= found.value <= found.high
    if hits > 0:
        assert at_least(hits, tries, found.low) == pytest.approx(0.025, rel=1e-6)
    if hits < tries:
        assert at_most(hits, tries, found.high) == pytest.approx(0.025, rel=1e-6)


def test_nothing_counted_says_nothing() -> None:
    """The whole of 0 to 1 is left."""
    found = exact(0, 0)

    assert (found.value, found.low, found.high) == (0.0, 0.0, 1.0)


def test_a_tail_is_right_however_far_out_it_lies() -> None:
    """What is left of one, once the other tail is taken off, would be nothing but rounding."""
    assert at_least(60, 100, 0.01) == pytest.approx(added(60, 100, 100, 0.01), rel=1e-9, abs=0.0)
    assert at_most(40, 100, 0.99) == pytest.approx(added(0, 40, 100, 0.99), rel=1e-9, abs=0.0)
    assert at_most(900, 1_000, 0.01) == 1.0
    assert at_least(100, 1_000, 0.99) == 1.0


def test_a_count_outside_which_just_the_tail_lies_is_a_limit() -> None:
    """The tail itself is no more than was asked for."""
    assert usual(1, 0.5, at_most(0, 1, 0.5)) == Usual(least=1, most=0)


def test_the_limits_are_counts() -> None:
    """Whole ones, and none at all where even one is out of the ordinary."""
    found = usual(7, 0.3, 0.01)
    assert (type(found.least), type(found.most)) == (int, int)
    assert usual(10, 1e-9) == Usual(least=0, most=0)


def test_where_all_or_none_hit_one_end_of_the_interval_is_sure() -> None:
    """Nothing lies beyond."""
    assert exact(5, 5).high == 1.0
    assert exact(0, 5).low == 0.0
