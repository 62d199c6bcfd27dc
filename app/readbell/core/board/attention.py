"""Which cartridge needs a hand first.

Rule: by the last instant at which its next act is still in time, the soonest
first. That order does not change as time passes, so a row moves only when
somebody acts. Cartridges against which no time runs come last, in the order of
their labels.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import window
from readbell.core.instant import Instant

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge

NEVER = Instant(1 << 62)


def by_attention(board: Board) -> list[Cartridge]:
    """Return the running cartridges, the one that is lost first in front."""
    return sorted(board.running.values(), key=lambda each: (last_moment(each), each.ordinal))


def last_moment(cartridge: Cartridge) -> Instant:
    """Return until when the next act on `cartridge` is in time; NEVER if no limit is stated."""
    span = window(cartridge)
    if span is not None:
        return NEVER if span.closes is None else span.closes
    limits = [wait.limit for wait in cartridge.running_waits if wait.limit is not None]
    return min(limits, default=NEVER)
