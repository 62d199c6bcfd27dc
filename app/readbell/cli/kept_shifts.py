"""A record opened to be asked about its shifts."""

from __future__ import annotations

from contextlib import closing, contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

from readbell.bay.site_time import time_zone
from readbell.cli.private_memory import keep_memory_private
from readbell.core.board.events import BayFounded
from readbell.journal.codec import decode
from readbell.journal.errors import JournalError
from readbell.journal.shifts_kept import KeptShift, shifts_kept
from readbell.journal.sqlite import SqliteJournal
from readbell.phrases.clock_time import ClockFace
from readbell.settings.places import default_journal

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime
    from pathlib import Path

    from readbell.core.instant import Instant
    from readbell.journal.journal import Journal


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A record that is only read, and its shifts."""

    journal: Journal
    shifts: dict[int, KeptShift]
    face: ClockFace

    def local(self, at: Instant) -> datetime:
        """Return `at` as the site's own time."""
        return self.face.local(at)


@contextmanager
def open_kept(path: Path | None) -> Iterator[Kept]:
    """Open the journal at `path`, or this computer's own, to be read.

    Raises:
        JournalError: there is none, or it cannot be read.
    """
    keep_memory_private()
    file = path or default_journal()
    if not file.is_file():
        msg = f"{file}: there is no journal: check the name"
        raise JournalError(msg)
    with closing(SqliteJournal.open(file, read_only=True)) as journal:
        yield Kept(journal=journal, shifts=shifts_kept(journal), face=_face(journal))


def _face(journal: SqliteJournal) -> ClockFace:
    """Return the site's clock; a time of the record is the wall clock of its boot, near enough."""
    first = next(iter(journal.records(0)), None)
    event = None if first is None else decode(first, journal.private).event
    zone = event.timezone if isinstance(event, BayFounded) else "UTC"
    return ClockFace(zone=time_zone(zone))
