"""The shortest period of a set of lags, against figures worked out by hand."""

from __future__ import annotations

from fractions import Fraction

from readbell.core.plan.period import Before, shortest_repeat

LEAST = Fraction(1)


def test_a_circle_of_lags_says_how_long_the_period_is() -> None:
    """Two things of 3 and 4 in turn, once each period, take 7."""
    found = shortest_repeat(2, [Before(0, 1, 3), Before(1, 0, 4, 1)], at_least=LEAST)

    assert found is not None
    assert found.period == 7
    assert found.begins == (Fraction(0), Fraction(3))


def test_a_circle_over_two_periods_gives_a_broken_number_exactly() -> None:
    """7 round two periods is three and a half: no grid is laid over it."""
    found = shortest_repeat(2, [Before(0, 1, 3, 1), Before(1, 0, 4, 1)], at_least=LEAST)

    assert found is not None
    assert found.period == Fraction(7, 2)


def test_of_two_circles_the_longer_counts() -> None:
    """Maximum cycle ratio: the slowest circle sets the pace."""
    lags = [Before(0, 0, 5, 1), Before(0, 1, 1), Before(1, 0, 10, 1)]

    found = shortest_repeat(2, lags, at_least=LEAST)

    assert found is not None
    assert found.period == 11


def test_a_circle_within_one_period_cannot_be_kept_at_any_length() -> None:
    """Each before the other: no period helps."""
    assert shortest_repeat(2, [Before(0, 1, 1), Before(1, 0, 1)], at_least=LEAST) is None


def test_a_circle_that_a_longer_period_only_makes_worse_cannot_be_kept() -> None:
    """A limit that binds the other way round: 5 less one period must not be under 9."""
    assert shortest_repeat(1, [Before(0, 0, 5, -1)], at_least=Fraction(9)) is None


def test_no_period_is_returned_that_is_not_shorter_than_asked() -> None:
    """A search that has something as short already wants to hear of nothing else."""
    lags = [Before(0, 0, 5, 1)]

    assert shortest_repeat(1, lags, at_least=LEAST, below=Fraction(5)) is None
    assert shortest_repeat(1, lags, at_least=LEAST, below=Fraction(6)) is not None
