"""What a supervisor asks for about a result."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.private import Private
    from readbell.core.reading.bands import Bands
    from readbell.core.review.reasons import AmendReason, WithdrawReason


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
    others: tuple[str, ...] = field(default=(), repr=False)
    """Labels or ids of further cartridges that were mixed up with it; taken back with it."""
    persons: tuple[str, ...] = field(default=(), repr=False)
    """IDs of people whose specimen it may have been, beside those they were run for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AmendResult:
    """Say anew what was on a strip that was read."""

    by: str = field(repr=False)
    cartridge: str = field(repr=False)
    bands: Bands
    reason: AmendReason
    words: Private


ReviewAct = ReleaseReading | WithdrawResult | AmendResult
