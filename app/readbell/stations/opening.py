"""The record of a station: its mirror, linked to the server where that can be reached."""

from __future__ import annotations

from contextlib import ExitStack, closing
from typing import TYPE_CHECKING

from readbell.bay.common_time import quickest, wall_apart
from readbell.clock.system import SystemClock
from readbell.core.instant import SECOND
from readbell.core.made_later import dataclass
from readbell.journal.errors import InUseError, JournalError, NewerJournalError
from readbell.journal.lock import JournalLock
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address
from readbell.journal.shared import OtherBayError, SharedJournal
from readbell.journal.snapshot import read_snapshot
from readbell.journal.sqlite import SqliteJournal
from readbell.settings.station_file import (
    mirror_of,
    read_station_file,
)
from readbell.stations.beside import why_behind

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from readbell.journal.snapshot import Snapshot
    from readbell.settings.station_file import StationFile

    Told = Callable[[int, int], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A station whose record is open."""

    file: StationFile
    path: Path
    journal: SharedJournal
    snapshot: Snapshot | None
    """What its board is started from; None: from the first event."""
    why_alone: str | None = None
    """Why it begins without the server."""


def server_of(file: StationFile) -> PostgresJournal:
    """Connect to the record that `file` names.

    Raises:
        LinkLostError: nobody answers there now.
        JournalError: whoever answers there does not let us in, or has no such bay.
    """
    return PostgresJournal.open(read_address(file.address), file.bay, station=file.station)


def open_station(path: Path, told: Told | None = None) -> Station:
    """Open the record of the station file at `path`, and bring home what others recorded.

    Where the server cannot be reached it is opened as it was seen last, if it ever was.

    Args:
        path: the station file.
        told: hears how many records are home of how many, now and then.

    Raises:
        WrongFileError: the station file is wrong.
        JournalError: the mirror cannot be used, is of another bay, or was never filled.
    """
    file = read_station_file(path)
    return _open(path, file, lambda: server_of(file), told)


def _open(
    path: Path, file: StationFile, connect: Callable[[], PostgresJournal], told: Told | None
) -> Station:
    """Open the record of `file`, which stands at `path`, with the server that `connect` gives."""
    mirror = SqliteJournal.open(mirror_of(path))
    journal = SharedJournal(mirror)
    try:
        why = _linked(journal, connect, told)
        if why is not None and journal.head().seq == 0:
            msg = f"{why}: this station has not seen the record yet, and cannot begin alone"
            raise JournalError(msg)  # noqa: TRY301  # the mirror is let go of below
        snapshot = read_snapshot(mirror.snapshot())
        damage = mirror.damage() if snapshot is None else None
        if damage is not None:
            msg = (
                f"{mirror_of(path)}: the mirror is damaged ({damage}): "
                "move it away, and it is made anew from the server"
            )
            raise JournalError(msg)  # noqa: TRY301
    except BaseException:
        journal.close()
        raise
    return Station(file=file, path=path, journal=journal, snapshot=snapshot, why_alone=why)


def _linked(
    journal: SharedJournal, connect: Callable[[], PostgresJournal], told: Told | None
) -> str | None:
    """Link `journal` and bring home what is newer; return why that could not be, or None."""
    try:
        journal.linked(connect())
        journal.pull(told)
    except (OtherBayError, NewerJournalError):
        raise
    except JournalError as error:
        # Whatever is wrong there, a strip that develops here needs its clock.
        journal.cut()
        return str(error)
    return None


def look_at_link(file: StationFile) -> str:
    """Say in one line how the server is reached, and how the clocks stand."""
    clock = SystemClock()
    try:
        address = read_address(file.address)
        with closing(server_of(file)) as server:
            look, reading = quickest(server, clock), clock.read()
            end = server.head()
    except JournalError as error:
        return f"not reached: {error}"
    apart = wall_apart(look, reading)
    way = "ahead" if apart > 0 else "behind"
    return (
        f"{address.told} answers within {2 * look.within} ms, has {end.seq} events; "
        f"the wall clock here is {abs(apart) / SECOND:.3f} s {way}"
    )


def bring_home(path: Path, told: Told | None = None) -> str | None:
    """Bring the mirror of the station file at `path` up to date, for whoever only reads it.

    Returns:
        Why that could not be done, or why the program that runs the bay here does not do it; None:
        it is up to date.

    Raises:
        WrongFileError: the station file is wrong.
        JournalError: the mirror cannot be used, is of another bay, or was never filled.
    """
    file = read_station_file(path)
    lock = JournalLock(path)
    with ExitStack() as held:
        try:
            lock.take()
            # It takes seconds to find that nobody answers: whoever begins here meanwhile may.
            lock.release()
            connect = _connected(file, held)
            lock.take()
        except InUseError:
            return why_behind(path, SystemClock().read())
        held.callback(lock.release)
        station = _open(path, file, connect, told)
        station.journal.close()
        return station.why_alone


def _connected(file: StationFile, held: ExitStack) -> Callable[[], PostgresJournal]:
    """Connect now; return what gives the server, which `held` lets go of, or raises why there is none."""
    try:
        server = server_of(file)
    except JournalError as error:
        fault = error

        def refuse() -> PostgresJournal:
            raise fault

        return refuse
    held.callback(server.close)
    return lambda: server
