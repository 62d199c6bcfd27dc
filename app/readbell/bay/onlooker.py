"""Somebody who looks on: takes in what a bay's program records, and changes nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.news import News
from readbell.bay.opening import moment_of
from readbell.clock.anchor import anchor
from readbell.core.board.board import Board
from readbell.core.board.fold import replay
from readbell.core.board.record_check import UNCHECKED, RecordCheck, RecordState
from readbell.journal.codec import decode_each
from readbell.journal.continuation import lying_beside, traces_of
from readbell.journal.keeper import NotSaved
from readbell.journal.lock import is_taken
from readbell.journal.record import Head
from readbell.journal.snapshot import read_snapshot
from readbell.journal.verify import chained, no_collection

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from readbell.clock.clock import Clock
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.journal.envelope import Stamp
    from readbell.journal.journal import Journal
    from readbell.journal.record import Record


class Onlooker:
    """Follows one journal from its beginning, or from where `take_up` found a snapshot."""

    def __init__(self, journal: Journal, path: Path, places: Sequence[Path], clock: Clock) -> None:
        self._journal = journal
        self._path = path.resolve()
        self._places = places
        self._clock = clock
        self._board = Board()
        self._head = Head()
        self._last: Stamp | None = None
        self._read_all = True
        self._looked_at: tuple[object, Path | None] | None = None
        """What the files beside the journal were like, and the last of them with events of its own."""

    def take_up(self, snapshot: Mapping[int, bytes]) -> None:
        """Begin with a snapshot if there is a good one, so that years need not be read.

        What came before it is then not checked; whoever wants that begins without.
        """
        taken = read_snapshot(snapshot)
        if taken is None:
            return
        found = next(self._journal.records(taken.head.seq - 1), None)
        if found is not None and found.head == taken.head:
            self._board, self._last, self._head = taken.board, taken.last, taken.head
            self._read_all = False

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
            record_check=(
                # Whoever has read every event of it, from the first, has checked it too.
                RecordCheck(state=RecordState.WHOLE, event=self._head.seq)
                if self._read_all
                else UNCHECKED
            ),
        )

    def is_kept(self) -> bool | None:
        """Say whether a program writes to the journal now; None: this system does not tell."""
        return is_taken(self._path)

    def recorded_at(self) -> Instant | None:
        """Return when the last event was recorded, None where there is none."""
        return None if self._last is None else self._last.at

    def close(self) -> None:
        """Give the connection back."""
        self._journal.close()

    def _since_last_look(self) -> Iterator[Record]:
        for record in chained(self._journal, self._head):
            self._head = record.head
            yield record

    def _not_saved(self) -> NotSaved | None:
        # A file is read anew only when it or the journal has changed: one that is locked takes long.
        traces = traces_of(self._path, self._places), self._head.seq
        if self._looked_at is None or self._looked_at[0] != traces:
            found = lying_beside(self._journal, self._path, self._places)
            self._looked_at = traces, found[-1] if found else None
        last = self._looked_at[1]
        if last is None:
            return None
        return NotSaved(why="its program cannot write it", continuation=last)
