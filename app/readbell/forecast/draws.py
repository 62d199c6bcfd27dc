"""Where the chance of a simulation comes from: the same for everybody who names the seed.

Each person of each run has numbers of their own, made from the seed and their place
by SplitMix64 (Steele, Lea and Flood, 2014). So they are the same however many
operators there are and by whatever rule they work, and two alternatives differ by
the alternatives alone. Sixteen bits of it choose one of 65,536 equally likely values
of a table, whole milliseconds all; nothing is left to a library's rounding.
"""

from __future__ import annotations

from functools import cache, lru_cache
from math import exp, log1p
from statistics import NormalDist

MASK = (1 << 64) - 1
GAMMA = 0x9E3779B97F4A7C15
FIRST_MIX = 0xBF58476D1CE4E5B9
SECOND_MIX = 0x94D049BB133111EB
BITS = 16
VALUES = 1 << BITS
KEPT = 8
"""Tables that are kept for the next crew; each is a few megabytes."""
IN_A_NUMBER = 64 // BITS
"""How many values one number of the generator gives."""


def number(seed: int, place: int) -> int:
    """Return the number at `place` (from 0) of the generator's line that `seed` begins."""
    mixed = (seed + (place + 1) * GAMMA) & MASK
    mixed = ((mixed ^ (mixed >> 30)) * FIRST_MIX) & MASK
    mixed = ((mixed ^ (mixed >> 27)) * SECOND_MIX) & MASK
    return mixed ^ (mixed >> 31)


def numbers_each(values: int) -> int:
    """Return how many numbers of the generator a person needs for so many values."""
    return -(-values // IN_A_NUMBER)


def always(span: int) -> tuple[int, ...]:
    """Return the table of a time that never varies."""
    return (span,) * VALUES


@lru_cache(KEPT)
def lognormal(mean: int, spread: float) -> tuple[int, ...]:
    """Return the table of a time with mean `mean` whose logarithm spreads by `spread`."""
    if spread == 0:
        return always(mean)
    shift = spread * spread / 2
    return tuple(round(mean * exp(spread * each - shift)) for each in _normal())


def quantile(spread: float, chance: float) -> float:
    """Return what such a time, with mean 1, stays under with `chance`."""
    if spread == 0:
        return 1.0
    return exp(spread * NormalDist().inv_cdf(chance) - spread * spread / 2)


def exponential(mean: float) -> tuple[int, ...]:
    """Return the table of the time between people who come independently of each other."""
    return tuple(round(-mean * log1p(-(each + 0.5) / VALUES)) for each in range(VALUES))


@cache
def _normal() -> tuple[float, ...]:
    at = NormalDist().inv_cdf
    return tuple(at((each + 0.5) / VALUES) for each in range(VALUES))
