"""Whether a journal is whole: every event, every hash, every identifier beside it."""

from __future__ import annotations

import gc
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from readbell.core.board.fold import replay
from readbell.core.errors import BrokenRecordError
from readbell.journal.codec import decode_each
from readbell.journal.errors import BrokenChainError
from readbell.journal.record import Head, link

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.journal.journal import Journal
    from readbell.journal.record import Record
    from readbell.journal.source import Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What checking a journal found."""

    head: Head
    board: Board
    heads_seen: frozenset[str]


def chained(journal: Source, after: Head | None = None) -> Iterator[Record]:
    """Yield each event after `after`, having checked that it follows from the one before.

    Raises:
        BrokenChainError: one does not.
    """
    before = after or Head()
    for record in journal.records(before.seq):
        follows(record, before)
        before = record.head
        yield record


@contextmanager
def no_collection() -> Iterator[None]:
    """While a record is read let nobody look for rubbish: it makes none that goes in circles.

    What is made stays, and looking through all of it again and again took a third of the time.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def follows(record: Record, before: Head) -> None:
    """Check that `record` follows from `before`.

    Raises:
        BrokenChainError: it does not.
    """
    if record.seq != before.seq + 1:
        raise BrokenChainError(before.seq + 1, "it is missing: restore a backup")
    if record.hash != link(before.hash, record.body):
        raise BrokenChainError(record.seq, "it was changed, or one before it: restore a backup")


def verify(journal: Journal) -> Verdict:
    """Check every event: its place, its hash, its sense, and that it can have happened.

    Raises:
        BrokenChainError: names the first event that is wrong.
    """
    seen: list[str] = []

    def events() -> Iterator[Event]:
        for envelope in decode_each(_noting(chained(journal), seen), journal.private):
            yield envelope.event

    try:
        with no_collection():
            board = replay(events())
    except BrokenRecordError as error:
        # The fold takes one event at a time, so the last one handed out is the one it refused.
        raise BrokenChainError(len(seen), str(error)) from None
    return Verdict(head=journal.head(), board=board, heads_seen=frozenset(seen))


def _noting(records: Iterable[Record], seen: list[str]) -> Iterator[Record]:
    for record in records:
        seen.append(record.hash.hex())
        yield record
