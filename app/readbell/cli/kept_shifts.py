"""A record opened to be asked about its shifts."""

from __future__ import annotations

from contextlib import closing, contextmanager
from typing import TYPE_CHECKING

from readbell.bay.site_time import time_zone
from readbell.cli.private_memory import keep_memory_private
from readbell.core.board.events import BayFounded
from readbell.core.made_later import dataclass
from readbell.journal.codec import decode
from readbell.journal.shifts_kept import KeptShift, shifts_and_jumps
from readbell.phrases.clock_time import ClockFace
from readbell.settings.places import default_journal

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import datetime
    from pathlib import Path

    from readbell.core.instant import Instant
    from readbell.journal.journal import Journal
    from readbell.journal.shifts_kept import Jumps
    from readbell.journal.sqlite import SqliteJournal


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
    from readbell.assembly import old_journal

    keep_memory_private()
    with closing(old_journal(path or default_journal())) as journal:
        shifts, jumps = shifts_and_jumps(journal)
        yield Kept(journal=journal, shifts=shifts, face=_face(journal, jumps))


def _face(journal: SqliteJournal, jumps: Jumps) -> ClockFace:
    """Return the site's clock, as it showed each instant of the record then."""
    first = next(iter(journal.records(0)), None)
    event = None if first is None else decode(first, journal.private).event
    zone = event.timezone if isinstance(event, BayFounded) else "UTC"
    return ClockFace(zone=time_zone(zone), jumps=jumps)
