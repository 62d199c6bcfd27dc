"""Whether the clocks have parted: somebody moved the wall clock, or the computer slept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import SECOND, Span
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.clock.clock import Reading

TOLERANCE = SECOND
"""Clocks may part by this much before anybody is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift:
    """What happened between two looks at the clocks; 0 for nothing worth telling."""

    jumped: Span
    """How far the wall clock was moved against the counting clock; negative: back."""
    slept: Span
    """How long the computer was suspended."""


def drift(before: Reading, now: Reading) -> Drift:
    """Compare two looks at the clocks of one boot."""
    counted = now.counting - before.counting
    jumped = (now.wall - before.wall) - counted
    slept = counted - (now.running - before.running)
    return Drift(
        jumped=Span(jumped if abs(jumped) > TOLERANCE else 0),
        slept=Span(slept if slept > TOLERANCE else 0),
    )
