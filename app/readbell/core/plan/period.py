"""The shortest period at which a set of lags can repeat for ever.

`u before v by (weight, height)` says that v begins at least `weight` after u, less
`height` periods. With the order of everything settled, that is all there is, and
the shortest period is the greatest ratio of weight to height round any circle of
lags: the maximum cycle ratio. It is found by cutting: try a
period; a circle that cannot be kept at it says by how much the period is too
short, or that no longer one would help. Everything is a whole number, so the
answer is exact.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, slots=True)
class Before:
    """`second` begins at least `weight` after `first`, less `height` periods."""

    first: int
    second: int
    weight: int
    height: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeat:
    """A period, and when each thing begins in it, counted from thing 0."""

    period: Fraction
    begins: tuple[Fraction, ...]


def shortest_repeat(
    things: int, lags: Sequence[Before], *, at_least: Fraction, below: Fraction | None = None
) -> Repeat | None:
    """Return the shortest period not under `at_least` that keeps every lag, or None.

    Args:
        things: how many begin in each period; `lags` name them by number from 0.
        lags: what must be kept.
        at_least: no shorter period is of interest.
        below: nor one of this length or more; None: any length.
    """
    period = at_least
    while below is None or period < below:
        found = _begins(things, lags, period)
        if not isinstance(found, list):
            weight, height = found
            if height <= 0:
                return None
            period = Fraction(weight, height)
            continue
        scale = period.denominator
        return Repeat(
            period=period,
            begins=tuple(Fraction(each - found[0], scale) for each in found),
        )
    return None


def _begins(things: int, lags: Sequence[Before], period: Fraction) -> list[int] | tuple[int, int]:
    """Return the earliest beginnings, scaled to whole numbers, or a circle that is too long.

    The circle is told by its weight and height, summed up.
    """
    scale, length = period.denominator, period.numerator
    begins = [0] * things
    comes_by: list[Before | None] = [None] * things
    steps = [(lag, lag.first, lag.second, lag.weight * scale - lag.height * length) for lag in lags]
    last = -1
    for _ in range(things + 1):
        last = -1
        for lag, first, second, apart in steps:
            if begins[first] + apart > begins[second]:
                begins[second] = begins[first] + apart
                comes_by[second] = lag
                last = second
        if last < 0:
            return begins
    return _circle(comes_by, last)


def _circle(comes_by: Sequence[Before | None], place: int) -> tuple[int, int]:
    """Return weight and height of the circle of lags that `place` hangs from."""
    seen: list[int] = []
    while place not in seen:
        seen.append(place)
        lag = comes_by[place]
        assert lag is not None  # noqa: S101  # what still moves after so many rounds hangs from a circle
        place = lag.first
    round_it = [comes_by[each] for each in seen[seen.index(place) :]]
    return (
        sum(lag.weight for lag in round_it if lag is not None),
        sum(lag.height for lag in round_it if lag is not None),
    )
