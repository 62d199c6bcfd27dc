"""A reading by somebody who cannot sign in: taken inside the window, and held until countersigned.

A window closes whoever is locked out. So a strip may be read under a typed name:
the rules of the reading and the clock are the same, and what is read waits for a
supervisor.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.acts import Read
from readbell.core.cartridge.looks import decide_read
from readbell.core.made_later import dataclass
from readbell.core.refusal import Refusal
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason

if TYPE_CHECKING:
    from readbell.core.cartridge.acts import Aim
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.cartridge.events import CartridgeRead
    from readbell.core.instant import Instant
    from readbell.core.private import Private
    from readbell.core.reading.bands import Bands


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadUnverified:
    """Read the strip inside its window under a name that nobody has made sure of."""

    aim: Aim
    """It names no operator."""
    bands: Bands
    name: Private
    """As it was typed."""

    @property
    def reading(self) -> Read:
        """The reading itself, to be judged as any other."""
        return Read(aim=self.aim, bands=self.bands)


def decide_unverified(
    cartridge: Cartridge, act: ReadUnverified, now: Instant
) -> tuple[CartridgeRead | ReadingHeld, ...] | Refusal:
    """Judge a reading under a typed name at the instant of its confirmation, `now`."""
    decided = decide_read(cartridge, act.reading, act.name.key, now)
    if isinstance(decided, Refusal):
        return decided
    held = ReadingHeld(
        at=now,
        by=None,
        cartridge=cartridge.id,
        reasons=(HoldReason.UNVERIFIED,),
        stated_name=act.name,
    )
    return *decided, held
