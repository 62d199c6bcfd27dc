"""How a bay stands, looked at without taking it up: from its snapshot, where there is a good one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from readbell.bay.opening import moment_of
from readbell.bay.site_time import day_began, time_zone
from readbell.clock.anchor import anchor
from readbell.core.board.board import Board
from readbell.core.board.fold import replay
from readbell.core.made_later import dataclass
from readbell.journal.codec import decode_each
from readbell.journal.record import Head
from readbell.journal.snapshot import read_snapshot
from readbell.journal.source import Source
from readbell.journal.verify import chained, no_collection

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.clock.clock import Clock
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.journal.envelope import Stamp


class Stored(Source, Protocol):
    """A record that may have a snapshot beside it."""

    def snapshot(self) -> Mapping[int, bytes]:
        """Return the parts of the snapshot; none if there is none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Glance:
    """A board, and when it is looked at."""

    board: Board
    now: Instant
    day_began: Instant
    """Where the site's day began."""
    apart: int
    """Wall clock minus the bay's time line, in milliseconds."""


def glance(journal: Stored, clock: Clock) -> Glance:
    """Return how the bay in `journal` stands now.

    Raises:
        BrokenChainError: an event is not what was once written.
    """
    board, last, head = Board(), None, Head()
    taken = read_snapshot(journal.snapshot())
    if taken is not None:
        found = next(journal.records(taken.head.seq - 1), None)
        if found is not None and found.head == taken.head:
            board, last, head = taken.board, taken.last, taken.head

    def events() -> Iterator[Event]:
        nonlocal last
        for envelope in decode_each(chained(journal, head), journal.private):
            last = envelope.stamp
            yield envelope.event

    with no_collection():
        board = replay(events(), board)
    return at_clock(board, last, clock)


def at_clock(board: Board, last: Stamp | None, clock: Clock) -> Glance:
    """Return how a bay stands now, of which `last` is the stamp of the last event."""
    reading = clock.read()
    now = anchor(None if last is None else moment_of(last), reading).instant(reading)
    zone = time_zone("UTC" if board.founded is None else board.founded.timezone)
    return Glance(
        board=board,
        now=now,
        day_began=day_began(now, reading.wall, zone),
        apart=reading.wall - now,
    )
