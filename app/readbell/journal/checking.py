"""Holds the whole record against itself, in a process of its own beside a running bay.

A start believes a snapshot; this does not. It checks every hash, reads and folds every
event from the first one on, and looks whether the snapshot says the same as they do.
It has a place on the processor only while nobody else wants it, reads the journal a
stretch at a time, and writes nothing. It ends by itself when nobody listens any more.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import fields
from itertools import islice
from typing import TYPE_CHECKING, Any

from readbell.core.board.board import Board
from readbell.core.board.fold import replay
from readbell.core.board.own import taken_in
from readbell.core.board.record_check import RecordCheck, RecordState
from readbell.core.errors import BrokenRecordError
from readbell.journal.codec import decode_each
from readbell.journal.errors import BrokenChainError, JournalError
from readbell.journal.record import Head
from readbell.journal.snapshot import read_snapshot
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import follows, no_collection

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from readbell.core.board.event import Event
    from readbell.journal.record import Record
    from readbell.journal.snapshot import Snapshot

A_STRETCH = 2_000
"""Events read at once: a longer look would keep the log of the journal from being emptied."""
GONE = "every event is whole, but what the start took up is gone and could not be compared"
LIES = "what a start takes up is not what the events add up to: start the program again"


def check_file(path: Path, told: Callable[[RecordCheck], None], station: str | None = None) -> None:
    """Check the journal at `path`, and tell how it goes and what was found."""
    try:
        journal = SqliteJournal.open(path, read_only=True)
        try:
            with no_collection():
                told(check(journal, told, station))
        finally:
            journal.close()
    except JournalError as error:
        told(RecordCheck(state=RecordState.NOT_CHECKED, why=str(error)))


def check(
    journal: SqliteJournal, told: Callable[[RecordCheck], None], station: str | None = None
) -> RecordCheck:
    """Check all that `journal` holds now, and return what was found.

    Of a shared bay the snapshot is of the board of one `station`: what stays at another is not on it.
    """
    end = journal.head()
    snapshot = read_snapshot(journal.snapshot())
    walk = _Walk(journal, end, told, station)
    try:
        damage = journal.damage()
        if damage is not None:
            return _broken(0, f"the file is damaged ({damage}): restore a backup")
        board = Board()
        if snapshot is not None:
            board = walk.fold(board, until=snapshot.head.seq)
            if walk.head != snapshot.head or not says_the_same(board, snapshot):
                return _broken(walk.head.seq, LIES)
        walk.fold(board, until=end.seq)
    except BrokenChainError as error:
        return _broken(error.seq, str(error))
    except BrokenRecordError as error:
        return _broken(walk.head.seq, str(error))
    if snapshot is None:  # erased meanwhile, or of a program that was renewed meanwhile
        return RecordCheck(state=RecordState.NOT_CHECKED, event=walk.head.seq, why=GONE)
    return RecordCheck(state=RecordState.WHOLE, event=walk.head.seq)


def says_the_same(board: Board, snapshot: Snapshot) -> bool:
    """Say whether `snapshot` is `board`, the order of everything in it included."""
    return board == snapshot.board and all(
        list(found) == list(getattr(snapshot.board, each.name))
        for each in fields(Board)
        if isinstance(found := getattr(board, each.name), Mapping)
    )


class _Walk:
    """A walk along the record, stretch by stretch."""

    def __init__(
        self,
        journal: SqliteJournal,
        end: Head,
        told: Callable[[RecordCheck], None],
        station: str | None,
    ) -> None:
        self._journal = journal
        self._end = end
        self._told = told
        self._station = station
        self._percent = -1
        self.head = Head()

    def fold(self, board: Board, until: int) -> Board:
        """Return what `board` becomes by the events up to number `until`."""
        while self.head.seq < until:
            board = replay(self._events(min(A_STRETCH, until - self.head.seq)), board)
            percent = 100 * self.head.seq // self._end.seq
            if percent != self._percent:
                self._percent = percent
                self._told(RecordCheck(state=RecordState.CHECKING, percent=percent))
        return board

    def _events(self, most: int) -> Iterator[Event]:
        found = list(islice(self._journal.records(self.head.seq), most))
        if not found:
            raise BrokenChainError(self.head.seq + 1, "it is missing: restore a backup")
        for envelope in decode_each(self._chained(found), self._journal.private):
            own = self._station is None or envelope.stamp.station == self._station
            event = taken_in(envelope.event, own=own)
            if event is not None:
                yield event

    def _chained(self, found: list[Record]) -> Iterator[Record]:
        for record in found:
            follows(record, self.head)
            self.head = record.head
            yield record


def _broken(event: int, why: str) -> RecordCheck:
    return RecordCheck(state=RecordState.BROKEN, event=event, why=why)


def as_line(found: RecordCheck) -> str:
    """Return `found` as one line."""
    return json.dumps(
        {
            "state": found.state,
            "percent": found.percent,
            "event": found.event,
            "why": found.why,
        }
    )


def from_line(line: str) -> RecordCheck:
    """Return what `line` says.

    Raises:
        ValueError, LookupError, TypeError: it says nothing.
    """
    said: dict[str, Any] = json.loads(line)
    return RecordCheck(
        state=RecordState(said["state"]),
        percent=int(said["percent"]),
        event=int(said["event"]),
        why=str(said["why"]),
    )
