"""How far two readers agree beyond chance."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.core.statistics.agreement import cohen, of_category

TABLES = st.lists(
    st.lists(st.integers(0, 40), min_size=3, max_size=3), min_size=3, max_size=3
).filter(lambda table: sum(map(sum, table)) > 0)


def by_hand(table: list[list[int]]) -> Fraction | None:
    """Work kappa out again in whole numbers: (n times agreed - chance) / (n squared - chance)."""
    count = sum(map(sum, table))
    chance = sum(sum(table[each]) * sum(row[each] for row in table) for each in range(len(table)))
    agreed = sum(table[each][each] for each in range(len(table)))
    if chance == count * count:
        return None
    return Fraction(count * agreed - chance, count * count - chance)


@given(table=TABLES)
def test_kappa_is_what_whole_numbers_give(table: list[list[int]]) -> None:
    """No rounding of shares on the way changes it."""
    found, wanted = cohen(table), by_hand(table)

    assert (found is None) == (wanted is None)
    if found is not None and wanted is not None:
        assert found.kappa == pytest.approx(float(wanted), abs=1e-9)


@given(table=TABLES)
def test_the_interval_holds_kappa_and_stays_between_minus_1_and_1(table: list[list[int]]) -> None:
    """Clipped where the error reaches further than kappa can."""
    found = cohen(table)

    if found is not None:
        assert found.error >= 0
        assert -1 <= found.low <= found.kappa + 1e-9
        assert found.kappa - 1e-9 <= found.high <= 1


@given(table=TABLES)
def test_it_does_not_matter_who_is_called_first(table: list[list[int]]) -> None:
    """Rows and columns may change places."""
    found = cohen(table)
    other = cohen([list(column) for column in zip(*table, strict=True)])

    assert (found is None) == (other is None)
    if found is not None and other is not None:
        assert (found.kappa, found.error) == pytest.approx((other.kappa, other.error), abs=1e-9)


def test_nothing_read_says_nothing() -> None:
    """An empty table has no kappa, and divides by nothing."""
    assert cohen([[0, 0], [0, 0]]) is None


def test_all_of_one_kind_says_nothing() -> None:
    """Chance alone would agree wholly."""
    assert cohen([[12, 0], [0, 0]]) is None


def test_one_reader_who_always_says_the_same_agrees_no_better_than_chance() -> None:
    """However often he happens to be right."""
    found = cohen([[15, 0], [5, 0]])

    assert found is not None
    assert found.kappa == pytest.approx(0)


def test_whole_agreement_has_no_error_to_tell_an_interval_from() -> None:
    """An error of nothing says that it could not be told."""
    found = cohen([[10, 0, 0], [0, 8, 0], [0, 0, 3]])

    assert found is not None
    assert (found.kappa, found.error, found.low, found.high) == (1, 0, 1, 1)


@given(st.lists(st.lists(st.integers(0, 40), min_size=3, max_size=3), min_size=3, max_size=3))
def test_agreement_on_one_category_is_what_one_says_and_the_other_says_too(
    table: list[list[int]],
) -> None:
    """Whoever is taken first: of all that either put there, twice what both did."""
    said = sum(table[0]) + sum(row[0] for row in table)
    found = of_category(table, 0)

    if said == 0:
        assert found is None
        return
    assert found is not None
    assert found.value == pytest.approx(2 * table[0][0] / said)
    assert 0.0 <= found.low <= found.value + 1e-12
    assert found.value - 1e-12 <= found.high <= 1.0
