"""Kappa, shares and their intervals held to figures that others published."""

from __future__ import annotations

import pytest

from readbell.core.statistics.agreement import cohen
from readbell.core.statistics.proportion import wilson

# R's package binom, as the test data of statsmodels 0.15.0 has it.
WILSON = [
    (18, 20, 0.6989663547715128, 0.972133518786232),
    (4, 20, 0.0806576625797981, 0.4160174322518935),
    (190, 200, 0.910421851861224, 0.972617354399236),
    (1, 30, 0.00590859, 0.16670391),
    (0, 30, 0.0, 0.11351339),
    (30, 30, 0.8864866, 1.0),
    (19, 38, 0.348499283643951, 0.651500716356049),
]


@pytest.mark.parametrize(("hits", "tries", "low", "high"), WILSON)
def test_wilson_is_what_others_publish(hits: int, tries: int, low: float, high: float) -> None:
    """Seven counts, none and all among them."""
    found = wilson(hits, tries)

    assert (found.low, found.high) == pytest.approx((low, high), abs=1e-7)
    assert found.value == hits / tries


# R. G. Newcombe, Statistics in Medicine 1998;17:857-872, method 3: the four examples of its table of
# seven methods (that 81 of 263 and 15 of 148 are among them is verified in R's package propint; the
# limits are from memory, and were worked out again).
NEWCOMBE = [
    (81, 263, 0.2553, 0.3662),
    (15, 148, 0.0624, 0.1605),
    (0, 20, 0.0, 0.1611),
    (1, 29, 0.0061, 0.1718),
]


@pytest.mark.parametrize(("hits", "tries", "low", "high"), NEWCOMBE)
def test_wilson_is_the_third_of_newcombes_seven_methods(
    hits: int, tries: int, low: float, high: float
) -> None:
    """To the four places that are printed there."""
    found = wilson(hits, tries)

    assert (found.low, found.high) == pytest.approx((low, high), abs=5e-5)


def test_kappa_and_its_interval_are_those_of_sas() -> None:
    """A printout of SAS, as the tests of statsmodels 0.15.0 have it; one column is empty."""
    found = cohen([[0, 4, 1], [0, 8, 0], [0, 1, 5]])

    assert found is not None
    assert found.kappa == pytest.approx(0.4842, abs=5e-5)
    assert found.error == pytest.approx(0.1380, abs=5e-5)
    assert (found.low, found.high) == pytest.approx((0.2137, 0.7547), abs=5e-5)


# Computed with statsmodels 0.15.0, `cohens_kappa`: kappa, its standard error, the 95 % interval.
COMPUTED = [
    (
        [[0, 4, 1], [0, 8, 0], [0, 1, 5]],
        (0.48416289592760187, 0.1380135783058146, 0.21366125307070666, 0.754664538784497),
    ),
    (
        [[11, 1, 0], [2, 14, 0], [0, 1, 3]],
        (0.7866666666666666, 0.10044428711885417, 0.589799481460912, 0.9835338518724213),
    ),
    (
        [[20, 5], [10, 15]],
        (0.3999999999999999, 0.12699606293110033, 0.151092290476661, 0.6489077095233389),
    ),
    (
        [[1, 0, 7], [3, 22, 1], [0, 0, 9]],
        (0.5668498168498168, 0.09244909726003149, 0.3856529158169145, 0.7480467178827191),
    ),
]


@pytest.mark.parametrize(("table", "figures"), COMPUTED)
def test_kappa_is_that_of_a_library_to_the_last_digits(
    table: list[list[int]], figures: tuple[float, float, float, float]
) -> None:
    """Four tables, one with an empty column, one with readers who differ in one way alone."""
    found = cohen(table)

    assert found is not None
    assert (found.kappa, found.error, found.low, found.high) == pytest.approx(figures, abs=1e-12)


@pytest.mark.parametrize(
    ("table", "kappa"),
    [
        pytest.param([[20, 5], [10, 15]], 0.40, id="fifty applications"),
        pytest.param([[45, 15], [25, 15]], 0.1304, id="marginals alike"),
        pytest.param([[25, 35], [5, 35]], 0.2593, id="marginals apart"),
    ],
)
def test_kappa_of_two_readers_is_that_of_a_textbook(table: list[list[int]], kappa: float) -> None:
    """Three tables of an encyclopaedia (cells from memory, the arithmetic was done again)."""
    found = cohen(table)

    assert found is not None
    assert found.kappa == pytest.approx(kappa, abs=5e-5)


def test_sensitivity_and_specificity_are_those_of_the_handbook_example() -> None:
    """Altman and Bland, Diagnostic tests 1, BMJ 1994;308:1552 (the table as reproduced elsewhere)."""
    right_of_ill, ill, right_of_well, well = 231, 258, 54, 86

    assert wilson(right_of_ill, ill).value == pytest.approx(0.90, abs=5e-3)
    assert wilson(right_of_well, well).value == pytest.approx(0.63, abs=5e-3)
