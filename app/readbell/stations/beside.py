"""What the program that runs a station here keeps of itself, told to whoever only reads its mirror.

While it is alone, what is done at the station lies beside the mirror and is not read with it; and
while its disk takes nothing, nor does the mirror. A sheet that is printed then must not pass for
how things stand.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.common_time import kept_at
from readbell.core.instant import SECOND, Span
from readbell.journal.lock import is_taken
from readbell.settings.station_file import line_of

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.clock.clock import Reading
    from readbell.core.instant import Instant

SILENT = Span(30 * SECOND)
"""Our own choice: it keeps how its clocks stand each two seconds, and a busy disk takes longer."""


def alone_since(path: Path) -> Instant | None:
    """Return since when the program that runs the station at `path` now is alone; None: it is not."""
    kept = kept_at(line_of(path))
    return kept.alone if kept is not None and is_taken(path) else None


def why_behind(path: Path, reading: Reading) -> str | None:
    """Return why the mirror may lack what the program that runs this station has; None: it does not.

    Args:
        path: the station file, which some program holds.
        reading: the clocks of this computer now.
    """
    kept = kept_at(line_of(path))
    if kept is None:
        return None
    if kept.alone is not None:
        return (
            "the program that runs this station is alone, and what was done at it since is not "
            "told here: look at its board"
        )
    silent = reading.counting - kept.moment.counting
    if kept.moment.boot == reading.boot and silent > SILENT:
        return (
            f"the program that runs this station has put nothing on its disk for {silent // SECOND} s: "
            "is that full? What is newer is on its board"
        )
    return None
