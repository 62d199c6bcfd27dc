"""Shares, charts, predictive values and quantiles beside published figures and numpy's."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binom, binomtest

from readbell.core.statistics.binomial import (
    TAIL_OF_THREE_SIGMA,
    at_least,
    at_most,
    exact,
    usual,
)
from readbell.core.statistics.predictive import Observed, meaning
from readbell.core.statistics.spread import Spread


@pytest.mark.parametrize(
    ("hits", "tries", "low", "high"),
    [
        # R's binom.test, as in the test data of statsmodels 0.15.0 (verified there).
        (51, 235, 0.1660633298083073, 0.2752683640289254),
        (18, 20, 0.6830172859809176, 0.9876514728297052),
        (4, 20, 0.05733399705003284, 0.436614002996668),
        (190, 200, 0.9099724622986486, 0.975765834527891),
        (0, 30, 0.0, 0.11570331),
    ],
)
def test_exact_intervals_are_those_of_r(hits: int, tries: int, low: float, high: float) -> None:
    """To the eighth place, which is what is given of the last one."""
    found = exact(hits, tries)

    assert (found.low, found.high) == pytest.approx((low, high), abs=1e-8)


@pytest.mark.parametrize(
    ("hits", "tries", "low", "high"),
    [
        # R. G. Newcombe, Statistics in Medicine 1998;17:857-872, method 5 (the limits are from memory).
        (81, 263, 0.2527, 0.3676),
        (15, 148, 0.0578, 0.1617),
        (0, 20, 0.0, 0.1684),
        (1, 29, 0.0009, 0.1776),
    ],
)
def test_the_exact_interval_is_the_fifth_of_newcombes_seven_methods(
    hits: int, tries: int, low: float, high: float
) -> None:
    """To the four places that are printed there."""
    found = exact(hits, tries)

    assert (found.low, found.high) == pytest.approx((low, high), abs=5e-5)


def test_the_exact_interval_of_a_textbook() -> None:
    """5 of 25: 0.068 to 0.407 (W. J. Conover's tables of 1999, verified in a second source)."""
    found = exact(5, 25)

    assert (found.low, found.high) == pytest.approx((0.068, 0.407), abs=5e-4)


def test_a_tail_of_the_binomial_is_that_of_r() -> None:
    """51 or more of 235 at one in six (R's binom.test in statsmodels 0.15.0, verified there)."""
    assert at_least(51, 235, 1 / 6) == pytest.approx(0.02654424571169085, abs=1e-12)


@given(st.integers(0, 400), st.integers(1, 400), st.floats(min_value=0.001, max_value=0.999))
def test_tails_limits_and_intervals_are_those_of_scipy(
    hits: int, tries: int, chance: float
) -> None:
    """scipy 1.17 has both tails, their quantiles, and Clopper and Pearson's interval."""
    hits = min(hits, tries)
    assert at_most(hits, tries, chance) == pytest.approx(binom.cdf(hits, tries, chance), abs=1e-9)
    assert at_least(hits, tries, chance) == pytest.approx(
        binom.sf(hits - 1, tries, chance), abs=1e-9
    )
    found, theirs = exact(hits, tries), binomtest(hits, tries).proportion_ci(method="exact")
    assert (found.low, found.high) == pytest.approx((theirs.low, theirs.high), abs=1e-9)
    limits = usual(tries, chance)
    assert limits.least == binom.ppf(TAIL_OF_THREE_SIGMA, tries, chance)
    assert limits.most == binom.isf(TAIL_OF_THREE_SIGMA, tries, chance)


WAFERS = (
    *(12, 15, 8, 10, 4, 7, 16, 9, 14, 10, 5, 6, 17, 12, 22),
    *(8, 10, 5, 13, 11, 20, 18, 24, 15, 9, 12, 7, 13, 9, 6),
)


def test_the_chart_of_the_handbook_flags_the_same_two_wafers() -> None:
    """NIST/SEMATECH e-Handbook 6.3.3.2: 30 wafers of 50 chips, p = 0.2313 (verified in a second
    source; the counts are from memory, and their sum agrees with it). Its limits come from the
    normal curve, ours from the binomial: the same wafers, the 15th and the 23rd, are outside.
    """
    chance = sum(WAFERS) / (30 * 50)
    limits = usual(50, chance)

    assert chance == pytest.approx(0.2313, abs=5e-5)
    flagged = [place for place, each in enumerate(WAFERS, start=1) if not limits.holds(each)]
    assert flagged == [15, 23]
    # The limits of the handbook itself, three deviations of the normal curve to each side (from memory,
    # worked out again): 2.6 and 20.5 chips. Ours are whole chips, and lie askew as the tails do.
    half = 3 * sqrt(chance * (1 - chance) / 50)
    assert (chance - half, chance + half) == pytest.approx((0.052428, 0.410239), abs=1e-6)
    assert (limits.least, limits.most) == (4, 21)


def test_predictive_values_at_a_quarter() -> None:
    """D. G. Altman, J. M. Bland, BMJ 1994;309:102: 0.45 and 0.95 (from memory, recomputed); the
    table of 231, 27, 32 and 54 is that of BMJ 1994;308:1552 (verified in a second source).
    """
    found = meaning(0.25, Observed(hits=231, of=258), Observed(hits=54, of=86))

    assert found is not None
    assert found.positive.value == pytest.approx(0.45, abs=5e-3)
    assert found.negative.value == pytest.approx(0.95, abs=5e-3)


def test_predictive_values_at_the_prevalence_of_the_study_are_those_of_its_table() -> None:
    """231 of 263 and 54 of 81, by Bayes and by counting alike."""
    found = meaning(258 / 344, Observed(hits=231, of=258), Observed(hits=54, of=86))

    assert found is not None
    assert found.positive.value == pytest.approx(231 / 263)
    assert found.negative.value == pytest.approx(54 / 81)


def test_a_thousand_people_at_five_in_a_hundred() -> None:
    """Sensitivity 0.72, specificity 0.995: 36 found, 4.75 wrongly suspected (computed)."""
    found = meaning(0.05, Observed(hits=72, of=100), Observed(hits=995, of=1000))

    assert found is not None
    assert found.positive.value == pytest.approx(0.8834, abs=5e-5)
    people = found.per_thousand
    assert (people.true_positive, people.false_negative) == (36, 14)
    assert (people.false_positive, people.true_negative) == (5, 945)


@given(
    st.lists(st.integers(min_value=0, max_value=2_000), min_size=1, max_size=60),
    st.lists(st.floats(0.0, 1.0), min_size=1, max_size=4),
)
def test_quantiles_are_those_of_numpy(lengths: list[int], shares: list[float]) -> None:
    """Its own way of lying between neighbours, which it calls linear."""
    found = Spread()
    for each in lengths:
        found.add(each)

    assert found.quantiles(*sorted(shares)) == pytest.approx(
        tuple(np.quantile(lengths, sorted(shares), method="linear")), abs=1e-9
    )
