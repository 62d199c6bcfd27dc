"""What a command does first where the bay that it is given is a shared one."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from readbell.cli.spelt_out import spelt_out
from readbell.settings.station_file import is_station_file, record_of

if TYPE_CHECKING:
    from pathlib import Path


RESTORE = ": restore a backup"
"""How a sentence about a journal ends that is not what was once written."""


def come_up_to_date(path: Path) -> None:
    """Bring the record home that the station file at `path` names, and say if that cannot be.

    Raises:
        ReadbellError: the station file, or its mirror, cannot be used.
    """
    from readbell.cli.progress import Progress
    from readbell.stations.opening import bring_home

    with Progress() as progress:
        why = bring_home(path, lambda done, of: progress.tell("events brought home", done, of))
    if why is not None:
        print(spelt_out(f"{why}. {_as_of(path)}"), file=sys.stderr)


def of_mirror(fault: str, path: Path) -> str:
    """Return what is wrong with the record that `path` names, and for a mirror what to do about it.

    A backup would be the wrong cure: the record itself is whole on the server.
    """
    if not is_station_file(path):
        return fault
    wrong = fault.removesuffix(RESTORE)
    return f"{record_of(path)}: {wrong}: move it away, and it is made anew from the server"


def refuse_station(path: Path, instead: str) -> None:
    """Refuse a shared bay where a journal of one's own is wanted.

    Args:
        path: what was named.
        instead: what to do now.

    Raises:
        JournalError: `path` is a station file.
    """
    from readbell.journal.errors import JournalError

    if is_station_file(path):
        msg = (
            f"{path}: this is a station of a shared bay, whose record stands on a server: {instead}"
        )
        raise JournalError(msg)


def _as_of(path: Path) -> str:
    """Say of when the record is that lies here."""
    from contextlib import closing

    from readbell.assembly import old_journal
    from readbell.bay.site_time import time_zone
    from readbell.core.board.events import BayFounded
    from readbell.journal.codec import decode
    from readbell.phrases.clock_time import ClockFace

    with closing(old_journal(path)) as journal:
        end = journal.head()
        first = next(journal.records(0))
        last = decode(next(journal.records(end.seq - 1)), journal.private)
        founded = decode(first, journal.private).event
    zone = time_zone(founded.timezone if isinstance(founded, BayFounded) else "UTC")
    face = ClockFace(zone=zone, apart=last.stamp.wall - last.stamp.at)
    return (
        f"Here is the record as {record_of(path).name} has it, "
        f"to event {end.seq} of {face.local(last.stamp.at).date()} {face.time(last.stamp.at)}."
    )
