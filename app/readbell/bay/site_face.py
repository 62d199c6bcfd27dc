"""The clock on the wall of a site, as it showed each instant when it came."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.site_time import time_zone
from readbell.phrases.clock_time import ClockFace

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant


def face_now(board: Board, apart: int, now: Instant | None = None) -> ClockFace:
    """Return the site's clock where the wall clock is so far ahead of the bay's line at one instant.

    Of what lies back it is what was recorded then: whoever set the clock in the night must not
    find the evening's drops an hour from where they noted them. What was not recorded of a
    clock is taken to have been so all the time.

    Args:
        board: the bay.
        apart: wall clock minus time line, in milliseconds.
        now: when that was; None: after all that is on record.
    """
    zone = time_zone("UTC" if board.founded is None else board.founded.timezone)
    jumps = board.clock_jumps
    by_then = sum(by for at, by in jumps if now is None or at <= now)
    return ClockFace(zone=zone, apart=apart - by_then, jumps=jumps)
