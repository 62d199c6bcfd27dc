"""Exact limits for counted shares: no normal curve is put in the place of few tries.

Source: C. J. Clopper, E. S. Pearson, Biometrika 1934;26:404-413 (the interval, from memory; the
figures are held to R's and to the tables of a textbook by `tests/outside`). The limits of a p-chart
are the tails of the binomial distribution itself.

Assumption: each try comes out as it does whatever the others do, with one and the same chance.
Domain: 0 to `tries` hits of `tries`, chances from 0 to 1.
"""

from __future__ import annotations

from math import exp, lgamma, log, log1p
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.statistics.proportion import Share

if TYPE_CHECKING:
    from collections.abc import Callable

TAIL_OF_THREE_SIGMA = 0.0013498980316300933
"""What a normal distribution leaves above three standard deviations: a chart's usual false alarm."""
_HALVINGS = 60
"""So often is an interval of chances halved: more than a float tells apart."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Usual:
    """Between which counts, both included, as many tries come out as a rule."""

    least: int
    most: int

    def holds(self, hits: int) -> bool:
        """Say whether `hits` is nothing out of the ordinary."""
        return self.least <= hits <= self.most


def at_most(hits: int, tries: int, chance: float) -> float:
    """Return the probability of `hits` or fewer among `tries` that each hit with `chance`."""
    if hits < 0:
        return 0.0
    if hits >= tries or chance <= 0.0:
        return 1.0
    if chance >= 1.0:
        return 0.0
    # The shorter tail is added up; the other one is what is left.
    if hits <= tries * chance:
        return _added(hits, -1, tries, chance)
    return 1.0 - _added(hits + 1, 1, tries, chance)


def at_least(hits: int, tries: int, chance: float) -> float:
    """Return the probability of `hits` or more among `tries` that each hit with `chance`."""
    if hits <= 0:
        return 1.0
    if hits > tries or chance <= 0.0:
        return 0.0
    if chance >= 1.0:
        return 1.0
    if hits > tries * chance:
        return _added(hits, 1, tries, chance)
    return 1.0 - _added(hits - 1, -1, tries, chance)


def usual(tries: int, chance: float, tail: float = TAIL_OF_THREE_SIGMA) -> Usual:
    """Return the limits of a p-chart for `tries`: outside lies `tail` or less at each end.

    Where tries are few no count can be so rare at one end, and that end stays open:
    the limit is then 0, or `tries`.
    """
    low, high = 0, tries
    while low < high:  # the largest count below which `tail` or less lies
        middle = (low + high + 1) // 2
        low, high = (
            (middle, high) if at_most(middle - 1, tries, chance) <= tail else (low, middle - 1)
        )
    least = low
    low, high = 0, tries
    while low < high:  # the smallest count above which `tail` or less lies
        middle = (low + high) // 2
        low, high = (
            (low, middle) if at_least(middle + 1, tries, chance) <= tail else (middle + 1, high)
        )
    return Usual(least=least, most=low)


def exact(hits: int, tries: int, tail: float = 0.025) -> Share:
    """Return the share of `hits` among `tries` with its exact interval, `tail` left at each end."""
    if tries <= 0:
        return Share(value=0.0, low=0.0, high=1.0)
    low, high = 0.0, 1.0
    if hits > 0:
        low = _where(lambda chance: at_least(hits, tries, chance) > tail)
    if hits < tries:
        high = _where(lambda chance: at_most(hits, tries, chance) < tail)
    return Share(value=hits / tries, low=low, high=high)


def _where(is_beyond: Callable[[float], bool]) -> float:
    """Return the chance from which on `is_beyond` holds."""
    low, high = 0.0, 1.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if is_beyond(middle) else (middle, high)
    return (low + high) / 2


def _added(first: int, step: int, tries: int, chance: float) -> float:
    """Add up the probabilities of `first` and the counts beyond it, away from the middle."""
    ratio = chance / (1.0 - chance)
    each = exp(
        lgamma(tries + 1)
        - lgamma(first + 1)
        - lgamma(tries - first + 1)
        + first * log(chance)
        + (tries - first) * log1p(-chance)
    )
    total, count = 0.0, first
    while 0 <= count <= tries and each > total * 1e-17:
        total += each
        if step > 0:
            each *= (tries - count) / (count + 1) * ratio
        else:
            each *= count / ((tries - count + 1) * ratio)
        count += step
    return min(1.0, total)
