"""One station at work: its record, its bay, and what keeps it in step with the others."""

from __future__ import annotations

import secrets
from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.bay.around import Pulse
from readbell.bay.aside import RANK, beside
from readbell.bay.bay import Bay
from readbell.bay.common_time import CommonTime
from readbell.bay.following import Following
from readbell.bay.presence import StationPresence
from readbell.bay.recorder import Recorder
from readbell.journal.keeper import Keeper
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import listener, read_address
from readbell.settings.places import spill_folders
from readbell.settings.station_file import (
    line_of,
    mirror_of,
    write_station_file,
)
from readbell.settings.version import program_version
from readbell.stations.opening import Station, open_station, server_of

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.bay.beside_station import Hears
    from readbell.bay.identifiers import Identifiers
    from readbell.bay.news import Listener
    from readbell.bay.sounder import Bell
    from readbell.clock.clock import Clock
    from readbell.core.instant import Span
    from readbell.journal.shared import Server
    from readbell.settings.station_file import StationFile


def beside_station(station: Station, recorder: Recorder, keeper: Keeper, clock: Clock) -> Following:
    """Return what keeps the station in step with the others; it has yet to be started."""
    file, journal = station.file, station.journal
    run = secrets.token_hex(8)
    pulse = Pulse(station=file.station, mark=file.mark, hears=file.hears, lanes=file.lanes)
    presence = StationPresence(
        pulse,
        clock,
        say=lambda payload: following.say(payload),
        is_alone=lambda: not journal.is_linked,
        run=run,
    )
    following = Following(
        journal=journal,
        keeper=keeper,
        recorder=recorder,
        clock=clock,
        sleeper=clock.sleeper(RANK),
        presence=presence,
        time=CommonTime(line_of(station.path), presence),
        connect=lambda: server_of(file),
        listen=lambda server: _hearing(file, server, following, clock, run),
        on_mark=lambda mark: write_station_file(station.path, replace(file, mark=mark)),
        sets_policy=file.sets_policy,
    )
    return following


def _hearing(
    file: StationFile, server: Server, following: Following, clock: Clock, run: str
) -> Hears:
    from readbell.journal.postgres_news import Hearing

    assert isinstance(server, PostgresJournal)  # noqa: S101  # it was made by `server_of`
    return Hearing(
        read_address(file.address),
        server.bay_id,
        on_news=following.on_news,
        on_pulse=following.on_pulse,
        on_link=following.on_link,
        counting=lambda: clock.read().counting,
        called=listener(server.bay_id, file.station, run),
    )


def shared_bay(
    path: Path,
    listener: Listener,
    rest: Span,
    alarm: Bell | None,
    clock: Clock,
    identifiers: Identifiers,
    *,
    brief: bool,
) -> tuple[Keeper, Bay]:
    """Return the shared bay of the station file at `path`, and what keeps the record.

    Args:
        path: the station file.
        listener: is told what happens.
        rest: for how long a cartridge is silent after it was heard.
        alarm: what makes sounds; None: it is silent here.
        clock: the clocks of this computer.
        identifiers: name what is made anew.
        brief: whether it is taken up for one thing alone: no check of the record is begun.

    Raises:
        WrongFileError: the station file is wrong.
        JournalError: it cannot be used.
    """
    station = open_station(path)
    keeper = Keeper(station.journal, path, spill_folders())
    recorder = Recorder(
        keeper=keeper,
        clock=clock,
        identifiers=identifiers,
        station=station.file.station,
        program=program_version(),
        snapshot=station.snapshot,
    )
    recorder.subscribe(listener)
    following = beside_station(station, recorder, keeper, clock)
    bay = Bay(
        recorder=recorder,
        keeper=keeper,
        clock=clock,
        identifiers=identifiers,
        bell=alarm,
        rest=rest,
        asides=beside(
            mirror_of(path),
            station.journal,
            station.snapshot,
            recorder,
            keeper,
            clock,
            brief=brief,
            station=station.file.station,
        ),
        presence=following.presence,
        following=following,
    )
    following.bay = bay
    return keeper, bay
