"""What a long record adds up to, worked out in little memory.

Ended cartridges as values take some kilobytes each, and a record of years has very many.
So after each stretch of events what was added up is packed as a snapshot packs it, and
unpacked again only where somebody asks.
"""

from __future__ import annotations

from itertools import islice
from typing import TYPE_CHECKING

from readbell.core.board.board import Board
from readbell.core.board.fold import replay
from readbell.core.made_later import dataclass
from readbell.journal.codec import decode_each
from readbell.journal.record import Head
from readbell.journal.snapshot import NOTHING, Base, read_snapshot, taking
from readbell.journal.verify import chained, no_collection

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping

    from readbell.core.board.event import Event
    from readbell.journal.envelope import Stamp
    from readbell.journal.record import Record
    from readbell.journal.sqlite import SqliteJournal

EACH = 20_000
"""Events whose cartridges are values at one time (our own choice, as a start has it)."""
SWALLOWED = 1_000_000
"""Entries of a layer that is still laid together with later ones: whoever looks something up
goes through every layer, and a long record summed up at once would have very many. To lay
together costs little, as pages are taken over as they lie; a layer is one value of the file, and
those have an end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SummedUp:
    """What a record adds up to."""

    board: Board
    last: Stamp | None
    head: Head
    base: Base
    """The snapshot that the last stretch of it was added to."""
    parts: Mapping[int, bytes] | None
    """A snapshot of it made on the way, older than `head` by less than `EACH` events, and
    newer than the one in the journal; None: none was made."""


def sum_up(journal: SqliteJournal, tell: Callable[[int, int], None]) -> SummedUp:
    """Return what `journal` adds up to, from its snapshot on if it has a good one.

    Args:
        journal: the record; it is only read.
        tell: is told how many events of how many have been taken in.

    Raises:
        BrokenChainError: an event does not follow from the one before, or makes no sense.
    """
    # A collection for each stretch would look through all of it, and find nothing.
    with no_collection():
        return _sum_up(journal, tell)


def _sum_up(journal: SqliteJournal, tell: Callable[[int, int], None]) -> SummedUp:
    stored = journal.snapshot()
    found = read_snapshot(stored)
    if found is None:
        board, last, head, base = Board(), None, Head(), NOTHING
    else:
        board, last, head, base = found.board, found.last, found.head, found.base
    kept, end, made = dict(stored), journal.head().seq, False
    while True:
        stretch = _Stretch(journal, head)
        board = replay(stretch.events(), board)
        if not stretch.count:
            break
        head, last = stretch.head, stretch.last
        tell(head.seq, end)
        if stretch.count < EACH:
            break
        assert last is not None  # noqa: S101  # there were events
        steps = taking(board, last, head, base, SWALLOWED)
        written = next(each for each in steps if each is not None)
        kept = {number: kept[number] for number in written.stay} | dict(written.parts)
        packed = read_snapshot(kept)
        assert packed is not None  # noqa: S101  # it was written by this very program
        board, base, made = packed.board, packed.base, True
    return SummedUp(board=board, last=last, head=head, base=base, parts=kept if made else None)


class _Stretch:
    """Some events of a record, and what is known of the last of them."""

    def __init__(self, journal: SqliteJournal, head: Head) -> None:
        self._journal = journal
        self.head = head
        self.last: Stamp | None = None
        self.count = 0

    def events(self) -> Iterator[Event]:
        """Yield them."""
        for envelope in decode_each(self._records(), self._journal.private):
            self.last = envelope.stamp
            yield envelope.event

    def _records(self) -> Iterator[Record]:
        for record in islice(chained(self._journal, self.head), EACH):
            self.head = record.head
            self.count += 1
            yield record
