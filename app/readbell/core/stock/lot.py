"""A lot: one batch of a kit, good through the end of its expiry date."""

from __future__ import annotations

from datetime import timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from datetime import date

    from readbell.core.instant import Instant
    from readbell.core.stock.events import Storage


class WhyHeld(StrEnum):
    """What stopped a lot."""

    BY_HAND = "by-hand"
    """Somebody stopped it."""
    CONTROL_FAILED = "control-failed"
    """A control sample run on it did not show what it had to."""
    RECALLED = "recalled"
    """The maker or an authority called it back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """One box, or several at once, of a lot."""

    at: Instant
    units: int | None
    """None: not counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """What is known of one lot."""

    number: str
    assay: str
    """Content hash of the assay its cartridges run."""
    expires: date
    units: int | None
    """How many cartridges came with it, all deliveries together; None: not counted."""
    used: int = 0
    on_hold: bool = False
    held_for: WhyHeld | None = None
    """What stopped it; None while it is not on hold."""
    lost: int = 0
    """Units that were thrown away or went missing without ever being labelled."""
    bad: int = 0
    """Pouches and devices of it that were found bad, labelled or not."""
    drift: int = 0
    """What counts of the box found more (or, negative, fewer) than the record had."""
    deliveries: tuple[Delivery, ...] = ()
    """Each with its instant: a further one may ask for control samples."""
    storage: Storage | None = None
    """Where it is kept; None: nobody said."""
    taken_out: Instant | None = None
    """When it was last taken out of the cold; None: never, or put back."""
    buffer: str | None = None
    """Number of the buffer that came in the same box, where it has one of its own."""
    good_after_opening: int | None = None
    """So many days after its box was opened it is still good; None: no such limit is stated."""
    opened_on: date | None = None
    """The site's day on which the box at the bench was first opened."""
    is_scanned: bool = False
    """Whether its last day was read off the code of a box."""
    ends: int | None = None
    """When that day ends at the site, in UTC milliseconds since 1970, if it was corrected."""

    @property
    def left(self) -> int | None:
        """How many cartridges are left by the record; None where nobody counts them."""
        return None if self.units is None else self.units - self.used - self.lost + self.drift

    @property
    def is_used_up(self) -> bool:
        """Whether no cartridge is left in it; never, where nobody counts them."""
        return self.left is not None and self.left <= 0

    @property
    def is_recalled(self) -> bool:
        """Whether it was called back and not released since."""
        return self.held_for is WhyHeld.RECALLED

    @property
    def good_until(self) -> date:
        """The last day on which it is good: its own, or that of its opened box if sooner."""
        if self.opened_on is None or self.good_after_opening is None:
            return self.expires
        return min(self.expires, self.opened_on + timedelta(days=self.good_after_opening))


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
