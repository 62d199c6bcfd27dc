"""What can go wrong behind the operator's back: the clocks part, the disk fails."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.clock.drift import drift
from readbell.core.board.events import ClockJumped, ComputerSlept
from readbell.core.instant import MINUTE, SECOND

if TYPE_CHECKING:
    from readbell.clock.clock import Clock
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.journal.keeper import Keeper

CHECK_EACH = MINUTE
"""How often the journal's file and disk are looked at while all is well."""
MEND_EACH = 2 * SECOND
"""How often a journal that cannot be written is tried again."""


class Watch:
    """Compares each look at the clocks with the first one since something last happened.

    Args:
        clock: the bay's clock.
        keeper: knows whether the journal can be written.
        keeps_wall: whether the wall clock of this computer is the bay's; of a shared bay the
            server's is.
    """

    def __init__(self, clock: Clock, keeper: Keeper, *, keeps_wall: bool = True) -> None:
        self._clock = clock
        self._keeper = keeper
        self._keeps_wall = keeps_wall
        self._before = clock.read()
        self._checked = self._before.running

    def clocks(self, board: Board, now: Instant) -> list[ClockJumped | ComputerSlept]:
        """Return what happened to the clocks since the last look."""
        reading = self._clock.read()
        found = drift(self._before, reading)
        running = tuple(board.running)
        events: list[ClockJumped | ComputerSlept] = []
        if found.slept:
            events.append(ComputerSlept(at=now, span=found.slept, cartridges=running))
        if found.jumped and self._keeps_wall:
            events.append(ClockJumped(at=now, by_span=found.jumped, cartridges=running))
        if events or found.jumped:
            self._before = reading
        return events

    async def journal(self) -> bool:
        """Look after the journal when it is time to; return whether its state changed."""
        before = self._keeper.not_saved, self._keeper.alone
        each = CHECK_EACH if before == (None, None) else MEND_EACH
        running = self._clock.read().running
        if running - self._checked < each:
            return False
        self._checked = running
        await self._keeper.check()
        return (self._keeper.not_saved, self._keeper.alone) != before
