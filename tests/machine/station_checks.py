"""What the shared record has to say after everything: whole, each thing once, and nothing missing."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Container, Iterable, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, fields
from itertools import combinations
from typing import TYPE_CHECKING

from machine.plain_owing import Strip, owed
from readbell.core.board.events import AlertHeard
from readbell.core.board.fold import replay
from readbell.core.board.own import taken_in
from readbell.core.catalogue import NAMES
from readbell.core.people.events import ParticularNoted, PersonRegistered
from readbell.core.stations.events import ActKeptApart
from readbell.journal.codec import decode
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from pathlib import Path

    from bay.two_stations import Seat
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge
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
    lost = [
        deed_of(each)
        for _, each in acknowledged
        if deed_of(each) in done
        and not found[deed_of(each)]
        and not is_noted_by_another(each, found, acknowledged)
    ]
    assert not lost, f"acknowledged and lost: {lost}"
    on_devices = {deed: often for deed, often in found.items() if deed[0] in ON_A_DEVICE}
    doubled = {deed: often for deed, often in on_devices.items() if often > max(done[deed], 1)}
    assert not doubled, f"done once and recorded twice: {doubled}"
    assert set(board.owed) == owed_by(board), "a repeat is owed that is not, or one is forgotten"
    return Whole(board, head)


def owed_by(board: Board) -> set[str]:
    """Return what is owed a repeat, by what all that was begun for each who was not erased came to."""
    theirs: dict[tuple[str, str], list[Strip]] = {}
    begun = (*board.ended.values(), *board.running.values())
    for each in sorted(begun, key=lambda each: each.labelled.at):
        strip = Strip(
            each.id,
            each.labelled.at,
            "tested-today" in each.labelled.warnings,
            _failed_since(each),
            name=each.label,
        )
        if board.name(each.labelled.subject) is not None:
            theirs.setdefault((each.labelled.subject, each.assay.id), []).append(strip)
    return {found for strips in theirs.values() if (found := owed(strips)) is not None}


def _failed_since(found: Cartridge) -> int | None:
    if found.withdrawn or found.voided:
        return (found.withdrawn or found.voided).at  # type: ignore[union-attr]
    if found.outcome not in ("invalid", "withheld"):
        return None
    seen = (found.reading, found.second, *found.corrections, *found.amendments)
    times = [each.at for each in seen if each is not None]
    if found.stage == "lapsed":
        times.append(max(each.done.earliest for each in found.marks) + found.assay.reading.closes)  # type: ignore[arg-type, operator]
    return max(times)


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
    return [
        deed_of(event)
        for which, event in acknowledged
        if which == seat.name
        and not isinstance(event, SAID_ONCE)
        and deed_of(event) not in found
        and not is_noted_by_another(event, found, acknowledged)
    ]


def is_noted_by_another(event: Event, found: Container[Deed], acknowledged: Acknowledged) -> bool:
    """Say whether somebody noted the very same of that person elsewhere, and that is on record."""
    return isinstance(event, ParticularNoted) and any(
        isinstance(each, ParticularNoted)
        and (each.what, each.value.value) == (event.what, event.value.value)
        and deed_of(each) in found
        for _, each in acknowledged
    )


def replayed(seat: Seat, stored: Iterable[Envelope]) -> Board:
    """Return what all that lies on the disks of a station adds up to for it."""
    found = (taken_in(each.event, own=each.stamp.station == seat.name) for each in stored)
    return replay(each for each in found if each is not None)


def contradictions(board: Board) -> list[tuple[Cartridge, Cartridge]]:
    """Give each two strips of one person, of one time, of which one is positive and one negative.

    A repeat says nothing against what it repeats, though a clock in doubt may let them overlap.
    """
    valid = [each for each in board.in_order() if _says(each) is not None]
    return [
        (one, other)
        for one, other in combinations(valid, 2)
        if one.labelled.subject == other.labelled.subject
        and _says(one) != _says(other)
        and one.labelled.at < _end(other)
        and other.labelled.at < _end(one)
        and not {one.id, other.id} & {*_repeated(board, one), *_repeated(board, other)}
    ]


def begun_too_late(board: Board) -> list[Cartridge]:
    """Give the strips that were begun once the lot they are of was past its last day.

    The server keeps the time of a shared bay, and nobody sets its clock here.
    """
    ends = {number: lot.ends for number, lot in board.lots.items() if lot.ends is not None}
    return [
        each
        for each in board.in_order()
        if each.voided is None
        and (end := ends.get(each.labelled.lot)) is not None
        and each.labelled.at >= end
    ]


def _repeated(board: Board, cartridge: Cartridge) -> Iterator[str]:
    """Give the keys of what a strip repeats, and of what that one repeats."""
    found: Cartridge | None = cartridge
    while found is not None and (key := found.labelled.repeat_of) is not None:
        yield key
        found = board.cartridge(key)


def _says(cartridge: Cartridge) -> str | None:
    """Give what could be told of a strip, were nothing held: a positive may be seen early."""
    if cartridge.awaits_second or cartridge.withdrawn is not None:
        return None
    if not cartridge.has_ended:
        undecided = any("read-on-both-sides" in each.reasons for each in cartridge.holds)
        return "positive" if cartridge.early_looks and not undecided else None
    found = str(cartridge.outcome)
    return found if found in ("positive", "negative") else None


def _end(cartridge: Cartridge) -> int:
    """Give when a strip was read, or its twenty minutes were over."""
    applied = cartridge.applied
    assert applied is not None
    if cartridge.stage == "read" and cartridge.reading is not None:
        return cartridge.reading.at
    return applied.earliest + 1_200_000


def unlike(here: Board, there: Board) -> list[str]:
    """Give the fields in which two boards of one bay say different things."""
    return [
        each.name
        for each in fields(here)
        if each.name not in OF_ONE_STATION and getattr(here, each.name) != getattr(there, each.name)
    ]
