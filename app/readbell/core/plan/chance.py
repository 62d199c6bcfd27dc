"""How sure a share is that was counted: an interval, and how much a count is worth.

The interval is Wilson's (E. B. Wilson, 1927): it stays within 0 and 1 and says
something even where nothing was seen. Cartridges of one run share a queue and so
miss together; what they are worth is therefore counted as so many that do not. The
variance between runs says how many, and where nothing was missed to tell it from,
each run counts as one.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

Z95 = 1.959963984540054
"""Quantile of the normal distribution that leaves 2.5 % above it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """A share with its 95 % interval."""

    value: float
    low: float
    high: float


def wilson(hits: float, tries: float) -> Share:
    """Return the share of `hits` among `tries` with Wilson's 95 % interval.

    Both may be broken numbers: a count that is worth less than it looks.
    """
    if tries <= 0:
        return Share(value=0.0, low=0.0, high=1.0)
    share, square = hits / tries, Z95 * Z95
    middle = (share + square / (2 * tries)) / (1 + square / tries)
    half = Z95 / (1 + square / tries) * sqrt(share * (1 - share) / tries + square / (4 * tries**2))
    low = 0.0 if hits == 0 else max(0.0, middle - half)
    high = 1.0 if hits == tries else min(1.0, middle + half)
    return Share(value=share, low=low, high=high)


def of_clusters(hits: int, squares: int, clusters: int, size: int) -> Share:
    """Return the share of `hits` among `clusters` times `size` that fall together.

    Args:
        hits: the sum of the hits of every cluster.
        squares: the sum of their squares.
        clusters: how many clusters, each of `size`.
        size: tries in a cluster.
    """
    tries = clusters * size
    if tries == 0:
        return wilson(0, 0)
    share = hits / tries
    if hits in (0, tries) or clusters == 1:
        return wilson(share * clusters, clusters)
    between = (squares / clusters - (hits / clusters) ** 2) / (size * size * (clusters - 1))
    alike = share * (1 - share) / tries
    worth = tries * min(1.0, alike / between) if between > 0 else tries
    return wilson(share * worth, worth)
