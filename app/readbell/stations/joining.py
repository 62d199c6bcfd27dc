"""Joining a shared bay: what is checked before a computer becomes a station of it."""

from __future__ import annotations

import json
from contextlib import closing, suppress
from dataclasses import field, replace
from threading import Event
from typing import TYPE_CHECKING

from readbell.bay.common_time import quickest, wall_apart
from readbell.bay.presence import AWAY_AFTER
from readbell.clock.system import SystemClock
from readbell.core.board.events import BayFounded, Mode
from readbell.core.instant import SECOND, Span
from readbell.core.made_later import dataclass
from readbell.core.span_text import write_span
from readbell.core.stations.events import StationGivenUp, StationJoined, StationLeft
from readbell.core.stations.station import Station, StationState, mark_for
from readbell.journal.codec import decode
from readbell.journal.errors import InUseError, JournalError
from readbell.journal.lock import JournalLock
from readbell.journal.postgres import PostgresJournal, bays
from readbell.journal.postgres_address import read_address
from readbell.journal.postgres_news import Hearing
from readbell.journal.shared import SharedJournal
from readbell.journal.sqlite import SqliteJournal
from readbell.phrases.around_words import CLOCK_MAY_BE_APART
from readbell.settings.station_file import (
    LONGEST_STATION,
    StationFile,
    is_a_station_name,
    is_station_file,
    mirror_of,
    read_station_file,
    write_station_file,
)

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from readbell.clock.clock import Clock
    from readbell.journal.postgres_address import Address
    from readbell.journal.source import Source

PULSES_WITHIN = 2.5
"""Seconds within which a station that is here says so."""
ASK_EACH = 0.5
"""Seconds after which the server is asked once more whether one that says nothing listens still."""
LONGEST_BAY = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What somebody said on the command line."""

    address: str = field(repr=False)
    bay: str | None
    is_new: bool
    station: str
    hears: frozenset[str]
    lanes: frozenset[str]
    sets_policy: bool
    path: Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Joined:
    """A computer that is a station now."""

    file: StationFile
    path: Path
    told: str
    """The server, without any password."""
    events: int
    head: str
    wall_apart: int
    """The wall clock of this computer less the server's, in milliseconds."""
    has_mark: bool
    """Whether the record gives it its mark; a new station is given one as its board is first opened."""


def join(
    asked: Asked,
    progress: Callable[[int, int], None],
    clock: Clock | None = None,
    pulses_within: float = PULSES_WITHIN,
) -> Joined:
    """Connect, check, bring the record home and write the station file.

    Args:
        asked: what somebody said.
        progress: is told how many events are home of how many.
        clock: the clocks of this computer.
        pulses_within: seconds to wait for another computer of that name, if the record has one.

    Raises:
        ReadbellError: something is not as it must be; one sentence says what, and what to do.
    """
    if not is_a_station_name(asked.station):
        msg = (
            f"--station {asked.station!r}: use 1 to {LONGEST_STATION} letters that can all be seen"
        )
        raise JournalError(msg)
    address = read_address(asked.address)
    bay, found = _bay(address, asked)
    old = _old(asked.path)
    lock = JournalLock(asked.path)
    asked.path.parent.mkdir(parents=True, exist_ok=True)
    try:
        lock.take()
    except InUseError:
        msg = (
            f"{asked.path}: another readbell has this station open: "
            "leave its board first, then join again"
        )
        raise InUseError(msg) from None
    try:
        server = PostgresJournal.open(address, bay, station=asked.station, found=found)
        with closing(server):
            apart = _wall_apart(server, address, clock or SystemClock())
            if old is not None and old.bay != bay:
                _refuse_another_bay(asked.path, old)
            return _join(asked, address, bay, server, apart, old, progress, pulses_within)
    finally:
        lock.release()


def _join(
    asked: Asked,
    address: Address,
    bay: str,
    server: PostgresJournal,
    apart: int,
    old: StationFile | None,
    progress: Callable[[int, int], None],
    pulses_within: float,
) -> Joined:
    mirror = mirror_of(asked.path)
    is_new = not mirror.exists()
    journal = SharedJournal(SqliteJournal.open(mirror))
    try:
        journal.linked(server)
        journal.pull(progress)
        _check_live(journal, address, bay)
        stations = stations_in(journal)
        is_same = old is not None and old.station == asked.station and old.bay == bay
        known = stations.get(asked.station)
        if known is not None and known.state is StationState.HERE and not is_same:
            _check_not_here(server, address, asked.station, pulses_within)
        mark = mark_for(stations, asked.station)
        if mark is None:
            msg = f"{len(stations)} stations joined this bay, and no letter is left for one more"
            raise JournalError(msg)  # noqa: TRY301
        file = StationFile(
            address=asked.address,
            bay=bay,
            station=asked.station,
            mark=mark,
            hears=asked.hears,
            lanes=asked.lanes,
            sets_policy=asked.sets_policy,
        )
        write_station_file(asked.path, file)
        head = journal.head()
    except BaseException:
        journal.close()
        if is_new:  # nothing of a bay that was not joined is to stay here
            for each in (mirror, *mirror.parent.glob(f"{mirror.name}-*")):
                each.unlink(missing_ok=True)
        raise
    journal.close()
    return Joined(
        file=file,
        path=asked.path,
        told=address.told,
        events=head.seq,
        head=head.hex,
        wall_apart=apart,
        has_mark=known is not None,
    )


def stations_in(source: Source) -> dict[str, Station]:
    """Return every station that the record knows, without entering anything else of it."""
    found: dict[str, Station] = {}
    for record in source.records():
        if '"kind":"station-' not in record.body:
            continue
        match decode(record, source.private).event:
            case StationJoined(station=name, mark=mark):
                found[name] = Station(mark=mark)
            case StationLeft(station=name):
                found[name] = replace(found[name], state=StationState.LEFT)
            case StationGivenUp(station=name):
                found[name] = replace(found[name], state=StationState.GIVEN_UP)
            case _:
                pass
    return found


def _bay(address: Address, asked: Asked) -> tuple[str, bool]:
    """Return which bay is meant, and whether it is to be made."""
    there = bays(address)
    said = asked.bay or address.bay
    told = ", ".join(there) or "none yet"
    if said is None and len(there) != 1:
        msg = f"{address.told}: there is {told}: say which one is meant with --bay NAME"
        raise JournalError(msg)
    bay = there[0] if said is None else said
    if not 0 < len(bay.strip()) <= len(bay) <= LONGEST_BAY or not bay.isprintable():
        msg = f"--bay: a bay wants a name of 1 to {LONGEST_BAY} letters that can all be seen"
        raise JournalError(msg)
    if bay not in there and there and not asked.is_new:
        msg = (
            f"{address.told}: there is no bay {bay} on it, there is {told}: "
            "check the name, or begin a new bay with --new"
        )
        raise JournalError(msg)
    return bay, bay not in there


def _old(path: Path) -> StationFile | None:
    """Return what the station file at `path` said before; None: there is none.

    Raises:
        JournalError: something else stands there.
    """
    if is_station_file(path):
        return read_station_file(path)
    if path.exists():
        msg = (
            f"{path}: a journal, or something else, stands there: name another file with --journal"
        )
        raise JournalError(msg)
    return None


def _refuse_another_bay(path: Path, old: StationFile) -> None:
    msg = (
        f"{path}: this computer is station {old.station} of bay {old.bay}: "
        "join another bay with a file of its own, by --journal FILE"
    )
    raise JournalError(msg)


def _wall_apart(server: PostgresJournal, address: Address, clock: Clock) -> int:
    """Return the own wall clock less the server's.

    Raises:
        JournalError: they are too far apart for times of day to be believed.
    """
    look, reading = quickest(server, clock), clock.read()
    apart = wall_apart(look, reading)
    if abs(apart) > CLOCK_MAY_BE_APART:
        way = "ahead of" if apart > 0 else "behind"
        msg = (
            f"the clock of this computer is {write_span(Span(round(abs(apart) / SECOND) * SECOND))} {way} that of "
            f"{address.told}: set whichever is wrong, then join"
        )
        raise JournalError(msg)
    return apart


def _check_live(journal: SharedJournal, address: Address, bay: str) -> None:
    first = next(journal.records(), None)
    if first is None:
        return
    founded = decode(first, journal.private).event
    if isinstance(founded, BayFounded) and founded.mode is not Mode.LIVE:
        msg = f"{address.told}: bay {bay} is a rehearsal, and people are tested in a live one alone"
        raise JournalError(msg)


def _check_not_here(server: PostgresJournal, address: Address, station: str, within: float) -> None:
    """Check that no station of this name is at work: the record does not say that it left.

    One that is busy may say so late; as long as it is worth waiting the server knows that it listens.
    """
    heard = Event()

    def hear(payload: str) -> None:
        with suppress(ValueError, LookupError, TypeError):
            if json.loads(payload)["station"] == station:
                heard.set()

    clock = SystemClock()
    hearing = Hearing(
        address,
        server.bay_id,
        on_news=lambda _: None,
        on_pulse=hear,
        on_link=lambda _: None,
        counting=lambda: clock.read().counting,
    )
    hearing.start()
    began = clock.read().running
    try:
        is_here = heard.wait(within)
        while (
            not is_here
            and clock.read().running - began < AWAY_AFTER
            and server.has_namesake(run="")  # this command itself listens in nobody's name
        ):
            is_here = heard.wait(ASK_EACH)
    finally:
        hearing.close()
    if is_here:
        msg = f"station {station} is at work already: give this one a name of its own by --station"
        raise JournalError(msg)
