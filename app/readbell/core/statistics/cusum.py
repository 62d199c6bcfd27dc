"""A running sum that tells soon when hits have become more frequent, and seldom when they have not.

Each try adds what it speaks for: a hit speaks for the worse chance, any other against it, by
the logarithm of how much likelier it is there. The sum never falls below 0, and flags when
it comes to its limit. Source: the sequential test of A. Wald (1947) begun anew at 0, as E. S. Page,
Biometrika 1954;41:100-115 proposed; both from memory. No published table of limits was opened, so
none is used: what a limit means is worked out here, and held to a simulation by the tests.

Assumption: each try hits or not whatever the others do. Domain: 0 < usual < worse < 1.
"""

from __future__ import annotations

from math import inf, log, log1p
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

_MOST_STEPS = 4_096
"""No limit is higher than that: whatever needs one is too near to what is usual to be watched."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """What is watched for, in whole steps so that a run length can be worked out exactly.

    A hit moves the sum up by `up` steps, any other try down by 1.
    """

    usual: float
    worse: float
    up: int
    limit: int
    """It flags when the sum has come to so many steps."""

    def after(self, steps: int, *, hit: bool) -> int:
        """Return the sum after one more try."""
        return steps + self.up if hit else max(0, steps - 1)

    def flags(self, steps: int) -> bool:
        """Say whether a sum of so many steps is a flag."""
        return steps >= self.limit


def watch_for(usual: float, worse: float, tries_between_false_alarms: int) -> Watch | None:
    """Return the watch with the lowest limit at which false alarms are so rare, or None.

    Args:
        usual: the chance of a hit while all is well.
        worse: the chance that is to be found soon.
        tries_between_false_alarms: at least so many, on average, while all is well.
    """
    if not 0.0 < usual < worse < 1.0 or tries_between_false_alarms < 1:
        return None
    up = max(1, round(log(worse / usual) / -(log1p(-worse) - log1p(-usual))))
    low, high = 1, _MOST_STEPS
    if run_length(usual, up, high) < tries_between_false_alarms:
        return None
    while low < high:
        middle = (low + high) // 2
        if run_length(usual, up, middle) < tries_between_false_alarms:
            low = middle + 1
        else:
            high = middle
    return Watch(usual=usual, worse=worse, up=up, limit=low)


def run_length(chance: float, up: int, limit: int) -> float:
    """Return how many tries pass on average from 0 until the sum comes to `limit` steps.

    Worked out exactly, where each hits with `chance`. Let `e(s)` be the mean from `s` steps on:
    `e(s) = 1 + chance e(s + up) + miss e(s - 1)`, and 0 from the limit on. From the limit
    downwards each is `e(s) = a(s) + b(s) e(s - 1)`, which closes at 0, where nothing is lower.
    Infinity where it is longer than numbers tell apart.
    """
    miss = 1.0 - chance
    fixed, share = [0.0] * limit, [0.0] * limit
    for steps in range(limit - 1, 0, -1):
        rise, slope = _in_terms_of(steps, steps + up, fixed, share)
        left = 1.0 - chance * slope
        fixed[steps] = (1.0 + chance * rise) / left
        share[steps] = miss / left
    rise, slope = _in_terms_of(0, up, fixed, share)
    ends = chance * (1.0 - slope)
    return (1.0 + chance * rise) / ends if ends > 0.0 else inf


def _in_terms_of(
    low: int, high: int, fixed: Sequence[float], share: Sequence[float]
) -> tuple[float, float]:
    """Return `a` and `b` of `e(high) = a + b e(low)`."""
    rise, slope = 0.0, 1.0
    if high >= len(fixed):
        return 0.0, 0.0  # there it has flagged
    for each in range(high, low, -1):
        rise += slope * fixed[each]
        slope *= share[each]
    return rise, slope
