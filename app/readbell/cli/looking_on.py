"""One look at a bay that another program may be running: nothing is taken up or changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.bay.glance import Glance
    from readbell.phrases.clock_time import ClockFace


def look(journal: Path | None) -> Glance:
    """Return how the bay in `journal`, or this computer's own, stands now.

    Raises:
        JournalError: there is no journal, or it cannot be read.
    """
    from contextlib import closing

    from readbell.assembly import old_journal
    from readbell.bay.glance import glance
    from readbell.cli.record_asked import journal_at
    from readbell.clock.system import SystemClock

    with closing(old_journal(journal_at(journal))) as kept:
        return glance(kept, SystemClock())


def face_of(seen: Glance) -> ClockFace:
    """Return the clock on the wall of the site as it showed each instant then.

    Whatever leaves the bay bears the time that was read there then, however the clock was set
    since; of a rehearsal it is the time of its scenario.
    """
    from readbell.bay.site_time import time_zone
    from readbell.phrases.clock_time import ClockFace

    founded = seen.board.founded
    zone = time_zone("UTC" if founded is None else founded.timezone)
    return ClockFace(zone=zone, jumps=seen.board.clock_jumps)
