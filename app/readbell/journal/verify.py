"""Whether a journal is whole: every event, every hash, every identifier beside it."""

from __future__ import annotations

import gc
from contextlib import contextmanager
from typing import TYPE_CHECKING

from readbell.core.board.fold import replay
from readbell.core.errors import BrokenRecordError
from readbell.core.keeping.events import RecordErased
from readbell.core.made_later import dataclass
from readbell.journal.codec import decode_each
from readbell.journal.errors import BrokenChainError
from readbell.journal.record import Head, link

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.journal.journal import Journal
    from readbell.journal.record import PrivateRow, Record
    from readbell.journal.source import Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """What checking a journal found."""

    head: Head
    board: Board
    heads_seen: frozenset[str]
    erasures: tuple[tuple[int, RecordErased], ...] = ()
    """Each act that erased something: the number of its event, and what it says."""
    erased: int = 0
    """How many values are gone from beside the chain."""
    unexplained: int = 0
    """How many of them no event says that they were erased."""


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


def verify(journal: Journal, tell: Callable[[int, int], None] | None = None) -> Verdict:
    """Check every event: its place, its hash, its sense, and that it can have happened.

    Args:
        journal: the record.
        tell: is told how many events of how many have been checked.

    Raises:
        BrokenChainError: names the first event that is wrong.
    """
    seen: list[str] = []
    gone: set[str] = set()
    erasures: list[tuple[int, RecordErased]] = []

    def kept(key: str) -> PrivateRow | None:
        row = journal.private(key)
        if row is None or row.value is None:
            gone.add(key)
        return row

    def events() -> Iterator[Event]:
        end = journal.head().seq
        for envelope in decode_each(_noting(chained(journal), seen), kept):
            if tell is not None:
                tell(len(seen), end)
            if isinstance(envelope.event, RecordErased):
                if not gone.issuperset(envelope.event.keys):
                    what = "something that it erased is there again: restore a backup"
                    raise BrokenChainError(len(seen), what)
                erasures.append((len(seen), envelope.event))
            yield envelope.event

    try:
        with no_collection():
            board = replay(events())
    except BrokenRecordError as error:
        # The fold takes one event at a time, so the last one handed out is the one it refused.
        raise BrokenChainError(len(seen), str(error)) from None
    told = {key for _, event in erasures for key in event.keys}
    return Verdict(
        head=journal.head(),
        board=board,
        heads_seen=frozenset(seen),
        erasures=tuple(erasures),
        erased=len(gone),
        unexplained=len(gone - told),
    )


def _noting(records: Iterable[Record], seen: list[str]) -> Iterator[Record]:
    for record in records:
        seen.append(record.hash.hex())
        yield record
