"""How sure a share is that was counted.

Source: E. B. Wilson, Journal of the American Statistical Association 1927;22:209-212
(the score interval; from memory, the figures are held to R's by `tests/outside`).
Assumption: each try comes out as it does whatever the others do. Domain: 0 to `tries` hits of
`tries`; nothing counted gives the whole of 0 to 1.
"""

from __future__ import annotations

from math import sqrt

from readbell.core.made_later import dataclass

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

    It stays within 0 and 1, and says something even where nothing was seen. Both may be broken
    numbers: a count that is worth less than it looks.
    """
    if tries <= 0:
        return Share(value=0.0, low=0.0, high=1.0)
    share, square = hits / tries, Z95 * Z95
    middle = (share + square / (2 * tries)) / (1 + square / tries)
    half = Z95 / (1 + square / tries) * sqrt(share * (1 - share) / tries + square / (4 * tries**2))
    low = 0.0 if hits == 0 else max(0.0, middle - half)
    high = 1.0 if hits == tries else min(1.0, middle + half)
    return Share(value=share, low=low, high=high)
