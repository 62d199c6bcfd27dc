"""What stands on a wall's screen, second by second; it takes no key but the one that leaves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.site_face import face_now
from readbell.core.board.board import Board
from readbell.core.instant import SECOND, Instant
from readbell.hand.given import Key, Pressed
from readbell.ui.wall import WallBay, wall

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from readbell.bay.lookout import Sight
    from readbell.clock.clock import Clock
    from readbell.hand.given import Given
    from readbell.ui.app import Shell
    from readbell.ui.glyphs import Glyphs
    from readbell.ui.ink import Line


def bay_of(sight: Sight, now: Instant) -> WallBay:
    """Return a bay as a wall has it."""
    return WallBay(
        name=sight.path.name,
        board=sight.board,
        now=now,
        face=face_now(sight.board or Board(), sight.apart),
        trouble=sight.trouble,
        since=sight.since,
    )


class WallScreen:
    """Shows every bay as it was seen last.

    Args:
        shell: to be told to leave.
        sights: gives each bay as it was seen last.
        clock: how long ago that was.
        glyphs: the marks.
    """

    def __init__(
        self, shell: Shell, sights: Callable[[], Sequence[Sight]], clock: Clock, glyphs: Glyphs
    ) -> None:
        self._shell, self._sights, self._clock, self._glyphs = shell, sights, clock, glyphs

    def lines(self, width: int, height: int) -> tuple[Line, ...]:
        """Return the present picture."""
        reading = self._clock.read()
        bays = [bay_of(each, each.now(reading)) for each in self._sights()]
        return wall(bays, width, height, self._glyphs)

    def take(self, given: Given) -> None:
        """Leave if that is asked; anything else does nothing."""
        if given == Pressed(Key.LEAVE):
            self._shell.leave()

    def click(self, column: int, row: int) -> None:
        """Do nothing."""

    def typed(self, text: str) -> None:
        """Show nothing of it."""

    def beat(self) -> None:
        """Need nothing: the time on the wall says that it lives."""

    def until_next_tick(self) -> float:
        """Return the seconds to the next whole one of the wall clock."""
        return (SECOND - self._clock.read().wall % SECOND) / SECOND
