"""The story of somebody or something, told from the record event by event.

One walk over the record, each event checked against the one before it and taken in by a
board, so that every line says what was so then; what does not belong to the story is
taken in by the way. Nothing is kept: a story of any length is told as it is read.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Protocol

from readbell.bay.site_face import face_now
from readbell.bay.site_time import site_date, time_zone
from readbell.core.board.board import Board
from readbell.core.board.events import BayFounded
from readbell.core.board.fold import replay
from readbell.core.cartridge.events import CartridgeLabelled
from readbell.core.made_later import dataclass
from readbell.journal.codec import decode_each
from readbell.journal.verify import chained, no_collection

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from datetime import date, tzinfo

    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.journal.envelope import Envelope
    from readbell.journal.record import Record
    from readbell.journal.source import Source
    from readbell.phrases.clock_time import ClockFace

AT_ONCE = 5_000
"""Events taken in together, where none of them is told."""


class Follows(Protocol):
    """Says of each event of a record, in their order, whether it belongs to a story."""

    def follows(self, event: Event) -> bool:
        """Take `event` in, and say so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One event of a story."""

    number: int
    """Of the event in the record."""
    envelope: Envelope
    board: Board
    """As it was after it."""
    face: ClockFace
    """The site's clock, as it stood then."""

    @property
    def event(self) -> Event:
        """What happened."""
        return self.envelope.event


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """Of a story only what was recorded on one day, or since some instant."""

    day: date | None = None
    since: Instant | None = None
    unseen: frozenset[str] = frozenset()
    """Cartridges that wait for a second reader: what the first one saw is not told yet."""

    def hold(self, envelope: Envelope, zone: tzinfo) -> bool:
        """Say whether what was recorded then is inside."""
        if self.since is not None and envelope.stamp.at < self.since:
            return False
        if getattr(envelope.event, "cartridge", None) in self.unseen and hasattr(
            envelope.event, "bands"
        ):
            return False
        return self.day is None or site_date(envelope.stamp.wall, zone) == self.day


def awaiting_second(board: Board) -> frozenset[str]:
    """Return the cartridges whose first reading is shown to nobody yet, by their opaque id."""
    return frozenset(each.id for each in board.running.values() if each.awaits_second)


def story(
    source: Source,
    trail: Follows,
    bounds: Bounds,
    told: Callable[[int], None] = lambda _: None,
) -> Iterator[Told]:
    """Yield what belongs to the story, in the order of the record.

    Args:
        source: the record.
        trail: says what belongs to it.
        bounds: leaves out what is older, or of another day.
        told: is told the number of each event as it is read.

    Raises:
        BrokenChainError: an event is not what was once written.
    """
    board, zone = Board(), time_zone("UTC")
    waiting: list[Event] = []
    place = 0

    def counted() -> Iterator[Record]:
        nonlocal place
        for record in chained(source):
            place = record.seq
            told(place)
            yield record

    with no_collection():
        for envelope in decode_each(counted(), source.private):
            event, stamp = envelope.event, envelope.stamp
            waiting.append(event)
            if isinstance(event, BayFounded):
                zone = time_zone(event.timezone)
            belongs = trail.follows(event) and bounds.hold(envelope, zone)
            if belongs or len(waiting) >= AT_ONCE:
                board = replay(waiting, board)
                waiting.clear()
            if belongs:
                face = face_now(board, stamp.wall - stamp.at, stamp.at)
                yield Told(number=place, envelope=envelope, board=board, face=face)


def borne_on(source: Source, label: str, day: date) -> str | None:
    """Return the opaque id of the cartridge that was given `label` on `day`, the last if several.

    Only what looks like it is decoded; whose walk it is checks the record anyway.
    """
    mark, found, zone = f'"label":{json.dumps(label, ensure_ascii=False)}', None, time_zone("UTC")
    some = (each for each in source.records() if each.seq == 1 or mark in each.body)
    for envelope in decode_each(some, source.private):
        event = envelope.event
        if isinstance(event, BayFounded):
            zone = time_zone(event.timezone)
        elif isinstance(event, CartridgeLabelled) and event.label == label:
            found = event.cartridge if site_date(envelope.stamp.wall, zone) == day else found
    return found
