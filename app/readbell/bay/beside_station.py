"""What stands beside a station's bay, and what that asks of the bay itself: shapes alone."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant


class Measured(Protocol):
    """What two clocks showed at one instant, in milliseconds."""

    @property
    def server(self) -> int:
        """UTC by the clock of the server."""

    @property
    def counting(self) -> int:
        """The counting clock of this computer."""

    @property
    def around(self) -> int:
        """How long the question took."""


class Hears(Protocol):
    """Listens on the server in a thread of its own."""

    def start(self) -> None:
        """Begin."""

    def say(self, payload: str) -> None:
        """Send a pulse to all; never waits."""

    def measure(self) -> Measured | None:
        """Hold the clock of the server against ours; None: it is not heard now."""

    def close(self) -> None:
        """End soon."""


class OneBay(Protocol):
    """What is asked of the bay."""

    async def take_in(self) -> None:
        """Enter what others recorded."""

    async def link_changed(self) -> None:
        """Take note that the link was lost, or is back."""

    async def others_changed(self) -> None:
        """Take note that stations came or went."""

    async def note_made(self, make: Callable[[Board, Instant], Sequence[Event]]) -> None:
        """Record what `make` makes of the board."""
