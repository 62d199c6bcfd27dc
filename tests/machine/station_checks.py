"""What the shared record has to say after everything: whole, each thing once, and nothing missing."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Sequence
from contextlib import closing
from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

from readbell.core.board.events import AlertHeard
from readbell.core.board.fold import replay
from readbell.core.board.own import taken_in
from readbell.core.catalogue import NAMES
from readbell.core.people.events import PersonRegistered
from readbell.core.stations.events import ActKeptApart
from readbell.journal.codec import decode
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from pathlib import Path

    from bay.two_stations import Seat
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.journal.envelope import Envelope
    from readbell.journal.record import Head

OF_ONE_STATION = frozenset(
    {"muted_until", "alarm_test", "roster", "stopped_cleanly", "near_misses"}
)
"""What is true of one screen alone, and what was signed in there."""
SAID_ONCE = (AlertHeard, PersonRegistered)
"""Who did these at both sides is on record once, as the first of the two said it."""
Deed = tuple[str, int, "str | None", str]
ON_A_DEVICE = frozenset(
    {
        "cartridge-labelled",
        "step-done",
        "step-taken-back",
        "early-positive-seen",
        "cartridge-read",
        "reading-corrected",
        "result-amended",
        "result-withdrawn",
        "cartridge-voided",
        "cartridge-lapsed",
        "result-told",
    }
)
"""What is on record as often as it was done, and no more."""

Acknowledged = Sequence[tuple[str, "Event"]]
"""What was taken, and at which station."""


@dataclass(frozen=True)
class Whole:
    """The record of a shared bay, checked."""

    board: Board
    head: Head


def check_record(path: Path, acknowledged: Acknowledged) -> Whole:
    """Check the chain, that nothing stands in it twice, and that all that was acknowledged does."""
    with closing(SqliteJournal.open(path, read_only=True)) as far:
        board, head = verify(far).board, far.head()
        bodies = [each.body for each in far.records()]
        events = [decode(each, far.private).event for each in far.records()]
    ids = [json.loads(each)["id"] for each in bodies]
    assert len(ids) == len(set(ids)), "an event stands in the record twice"
    found = Counter(deed_of(each) for each in events)
    done = Counter(deed_of(each) for _, each in acknowledged if not isinstance(each, SAID_ONCE))
    # What both sides did at one instant and in one way is one thing that was done.
    lost = [deed for deed in done if not found[deed]]
    assert not lost, f"acknowledged and lost: {lost}"
    on_devices = {deed: often for deed, often in found.items() if deed[0] in ON_A_DEVICE}
    doubled = {deed: often for deed, often in on_devices.items() if often > max(done[deed], 1)}
    assert not doubled, f"done once and recorded twice: {doubled}"
    return Whole(board, head)


def deed_of(event: Event) -> Deed:
    """Return what names one thing that was done, as it was done or as it is kept apart."""
    if isinstance(event, ActKeptApart):
        step = json.loads(event.body).get("step", "")
        return (event.kind, event.done, event.cartridge, step)
    step = getattr(event, "step", "")
    return (NAMES[type(event)], event.at, getattr(event, "cartridge", None), step)


async def stored_at(seat: Seat) -> list[Envelope]:
    """Return all that lies on the disks of a station, whether or not one side goes on from the other."""
    return await seat.keeper.read(
        lambda journal: [decode(each, journal.private) for each in journal.records()]
    )


def lost_at(seat: Seat, stored: Iterable[Envelope], acknowledged: Acknowledged) -> list[Deed]:
    """Give what a station has said was done there, and has nowhere any more."""
    found = {deed_of(each.event) for each in stored}
    done = (
        deed_of(event)
        for which, event in acknowledged
        if which == seat.name and not isinstance(event, SAID_ONCE)
    )
    return [each for each in done if each not in found]


def replayed(seat: Seat, stored: Iterable[Envelope]) -> Board:
    """Return what all that lies on the disks of a station adds up to for it."""
    found = (taken_in(each.event, own=each.stamp.station == seat.name) for each in stored)
    return replay(each for each in found if each is not None)


def unlike(here: Board, there: Board) -> list[str]:
    """Give the fields in which two boards of one bay say different things."""
    return [
        each.name
        for each in fields(here)
        if each.name not in OF_ONE_STATION and getattr(here, each.name) != getattr(there, each.name)
    ]
