"""What a supervisor asks for about a result."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from readbell.core.private import Private
    from readbell.core.review.reasons import WithdrawReason


@dataclass(frozen=True, slots=True, kw_only=True)
class ReleaseReading:
    """Let a reading that is held for review stand."""

    by: str = field(repr=False)
    cartridge: str = field(repr=False)
    """The label on the plastic, or the opaque id of one whose label was used again."""
    words: Private
    """Why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WithdrawResult:
    """Take a result back, or a positive that was seen early."""

    by: str = field(repr=False)
    cartridge: str = field(repr=False)
    reason: WithdrawReason
    words: Private


ReviewAct = ReleaseReading | WithdrawResult
