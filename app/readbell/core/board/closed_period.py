"""The longest closed period up to some day: whole shifts, and nothing running at its end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.assay.reading_rules import SecondReader
from readbell.core.cartridge.events import (
    CartridgeLabelled,
    CartridgeLapsed,
    CartridgeRead,
    CartridgeVoided,
)
from readbell.core.instant import Instant
from readbell.core.keeping.acts import Period
from readbell.core.review.events import ResultWithdrawn
from readbell.core.shift.events import ShiftClosed, ShiftOpened

if TYPE_CHECKING:
    from readbell.core.board.event import Event

NOTHING_CLOSED = Period(events=0, through=Instant(0))


class ClosedPeriod:
    """Follows a record from its first event, and knows where it could be cut."""

    def __init__(self) -> None:
        self._events = 0
        self._running: set[str] = set()
        self._shift_runs = False
        self._is_past = False
        self.found = NOTHING_CLOSED
        """The longest one so far."""

    def see(self, event: Event, *, in_time: bool) -> None:
        """Take in the next event.

        Args:
            event: it.
            in_time: whether it was recorded on the wanted day or before. After one that was
                not no other is, whatever a clock said.
        """
        self._events += 1
        self._is_past = self._is_past or not in_time
        match event:
            case CartridgeLabelled():
                self._running.add(event.cartridge)
            case CartridgeRead(second=SecondReader()):
                pass  # somebody else is to read it yet
            case CartridgeRead() | CartridgeLapsed() | CartridgeVoided() | ResultWithdrawn():
                self._running.discard(event.cartridge)
            case ShiftOpened():
                self._shift_runs = True
            case ShiftClosed():
                self._shift_runs = False
            case _:
                pass
        if not (self._is_past or self._running or self._shift_runs):
            self.found = Period(events=self._events, through=event.at)
