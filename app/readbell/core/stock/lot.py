"""A lot: one batch of a kit, good through the end of its expiry date."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """What is known of one lot."""

    number: str
    assay: str
    """Content hash of the assay its cartridges run."""
    expires: date
    units: int | None
    """How many cartridges it came with; None: not counted."""
    used: int = 0
    on_hold: bool = False

    @property
    def is_used_up(self) -> bool:
        """Whether no cartridge is left in it; never, where nobody counts them."""
        return self.units is not None and self.used >= self.units


def refuse_lot(lot: Lot, today: date) -> Refusal | None:
    """Say why no new cartridge may be taken from `lot` on the site's day `today`."""
    if lot.on_hold:
        return Refusal(code=RefusalCode.LOT_ON_HOLD, subject=lot.number)
    # Good through the end of its date: the day itself still counts.
    if today > lot.expires:
        return Refusal(code=RefusalCode.LOT_EXPIRED, subject=f"{lot.number} ({lot.expires})")
    if lot.is_used_up:
        return Refusal(code=RefusalCode.LOT_USED_UP, subject=lot.number)
    return None
