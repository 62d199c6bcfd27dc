"""Events and chained records to fill a journal with, all of them values."""

from __future__ import annotations

from typing import TYPE_CHECKING

from builders import CLEAR, START, Bench, private
from readbell.core.board.events import BayFounded, Mode, ProgramStarted
from readbell.core.instant import Span
from readbell.core.keeping.events import ErasedScope, RecordErased
from readbell.core.people.events import PersonRegistered
from readbell.journal.codec import encode
from readbell.journal.envelope import Envelope, Stamp
from readbell.journal.record import Head, Record

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.acts import Act
    from readbell.core.board.event import Event
    from readbell.core.refusal import Refusal

STAMP = Stamp(
    bay="Harrow Quay",
    station="bench-1",
    mode=Mode.REHEARSAL,
    program="0.0",
    at=START,
    wall=START,
    counting=5_000,
    boot="boot-1",
)
ONE_PAGE = 6_000
"""More characters than one page of the file holds, so that storing them needs a new page."""


def envelope(event: Event, name: str = "event-1") -> Envelope:
    """Return `event` with all that is kept around it."""
    return Envelope(id=name, event=event, stamp=STAMP, assay=None)


def chain(events: Sequence[Event], after: Head | None = None) -> list[Record]:
    """Return `events` as they are stored after `after`."""
    head = after or Head()
    records: list[Record] = []
    for event in events:
        records.append(encode(envelope(event, f"event-{head.seq + 1}"), head))
        head = records[-1].head
    return records


def arrival(name: str, padding: int = 0) -> PersonRegistered:
    """Return the arrival of somebody, padded to take up room on the disk."""
    return PersonRegistered(at=START, by=None, person=private(name + "." * padding))


def arrivals(*names: str, after: Head | None = None, padding: int = 0) -> list[Record]:
    """Return the stored arrivals of `names`, in order, after `after`."""
    return chain([arrival(name, padding) for name in names], after)


class Day(Bench):
    """A bench that remembers what happened, so that it can be put into a journal."""

    def __init__(self) -> None:
        founded = BayFounded(at=START, bay="Harrow Quay", timezone="UTC", mode=Mode.REHEARSAL)
        started = ProgramStarted(at=START, clean=True, away=Span(0), running=0)
        self.events: list[Event] = [founded, started]
        super().__init__()

    def do(self, act: Act, now: str = "0:00") -> tuple[Event, ...] | Refusal:
        """Judge `act` and remember what follows from it."""
        decided = super().do(act, now)
        if isinstance(decided, tuple):
            self.events.extend(decided)
        return decided


def day() -> list[Record]:
    """Return the record of a bay in which two people are tested and one result is read."""
    bench = Day()
    bench.to_well("C1", "P-001")
    bench.to_well("C2", "P-002")
    bench.must(bench.read_act(CLEAR, "C1"), "18:00")
    return chain(bench.events)


def erasing(*keys: str) -> RecordErased:
    """Return that `keys` are erased."""
    return RecordErased(
        at=START,
        by="key-op",
        scope=ErasedScope.PERSON,
        through=None,
        people=1,
        kept=0,
        keys=keys,
        words=private("asked in writing"),
    )
