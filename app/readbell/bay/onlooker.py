"""Somebody who looks on: takes in what a bay's program records, and changes nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.news import News
from readbell.bay.opening import moment_of
from readbell.clock.anchor import anchor
from readbell.core.board.board import Board
from readbell.core.board.fold import replay
from readbell.core.board.record_check import RecordCheck, RecordState
from readbell.journal.codec import decode_each
from readbell.journal.continuation import lying_beside
from readbell.journal.keeper import NotSaved
from readbell.journal.record import Head
from readbell.journal.verify import chained, no_collection

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from readbell.clock.clock import Clock
    from readbell.core.board.event import Event
    from readbell.journal.envelope import Stamp
    from readbell.journal.journal import Journal
    from readbell.journal.record import Record


class Onlooker:
    """Follows one journal from its beginning."""

    def __init__(self, journal: Journal, path: Path, places: Sequence[Path], clock: Clock) -> None:
        self._journal = journal
        self._path = path.resolve()
        self._places = places
        self._clock = clock
        self._board = Board()
        self._head = Head()
        self._last: Stamp | None = None

    def look(self) -> News:
        """Return what was recorded since the last look, and how things stand now.

        Raises:
            BrokenChainError: names the event that is not what was written.
        """
        events: list[Event] = []
        with no_collection():
            for envelope in decode_each(self._since_last_look(), self._journal.private):
                self._last = envelope.stamp
                events.append(envelope.event)
            self._board = replay(events, self._board)
        reading = self._clock.read()
        # The time line is joined at the last event, as its own program joins it.
        joined = anchor(None if self._last is None else moment_of(self._last), reading)
        return News(
            board=self._board,
            events=tuple(events),
            at=joined.instant(reading),
            wall=reading.wall,
            not_saved=self._not_saved(),
            # Whoever looks on has read every event of it, from the first.
            record_check=RecordCheck(state=RecordState.WHOLE, event=self._head.seq),
        )

    def _since_last_look(self) -> Iterator[Record]:
        for record in chained(self._journal, self._head):
            self._head = record.head
            yield record

    def _not_saved(self) -> NotSaved | None:
        beside = lying_beside(self._journal, self._path, self._places)
        if not beside:
            return None
        return NotSaved(why="its program cannot write it", continuation=beside[-1])
