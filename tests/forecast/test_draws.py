"""Where chance comes from: reference numbers, and tables with the moments they claim."""

from __future__ import annotations

from math import exp, log
from statistics import fmean, pstdev

import pytest

from readbell.forecast.draws import (
    VALUES,
    always,
    exponential,
    lognormal,
    number,
    numbers_each,
    quantile,
)


def test_the_generator_gives_its_well_known_numbers() -> None:
    """SplitMix64 from the seed 1234567; the numbers are from memory, no source was opened."""
    known = [
        6457827717110365317,
        3203168211198807973,
        9817491932198370423,
        4593380528125082431,
        16408922859458223821,
    ]

    assert [number(1234567, place) for place in range(5)] == known


def test_people_apart_come_apart_on_average() -> None:
    """Exponential: the mean is the mean, and the spread as large."""
    table = exponential(100_000.0)

    assert fmean(table) == pytest.approx(100_000, rel=1e-4)
    assert pstdev(table) == pytest.approx(100_000, rel=1e-3)
    assert len(table) == VALUES


def test_a_lognormal_time_keeps_its_mean() -> None:
    """The usual time is the mean, so that the work stays what it is."""
    table = lognormal(90_000, 0.25)

    assert fmean(table) == pytest.approx(90_000, rel=1e-4)
    assert pstdev([log(each) for each in table]) == pytest.approx(0.25, rel=1e-3)


def test_no_spread_is_no_spread() -> None:
    """Every value the same; and a quantile of one."""
    assert lognormal(90_000, 0) == always(90_000)
    assert set(always(5)) == {5}
    assert quantile(0, 0.999) == 1


def test_a_quantile_is_where_so_many_are_below() -> None:
    """One in a thousand is longer, read off the table itself."""
    edge = 1_000_000 * quantile(0.25, 0.999)

    above = sum(each > edge for each in lognormal(1_000_000, 0.25))

    assert above / VALUES == pytest.approx(0.001, rel=0.02)
    assert quantile(0.25, 0.5) == pytest.approx(exp(-0.25 * 0.25 / 2))


@pytest.mark.parametrize(("values", "numbers"), [(1, 1), (4, 1), (5, 2), (8, 2)])
def test_four_values_come_from_one_number(values: int, numbers: int) -> None:
    """Sixty-four bits, sixteen each."""
    assert numbers_each(values) == numbers
