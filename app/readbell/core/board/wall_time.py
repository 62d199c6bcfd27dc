"""What the bay's wall clock said at an instant of its time line.

The time line goes on evenly, while the wall clock may be set. Each time it was, the
record says so and by how much; so whatever leaves the bay bears the time that the
clock on the wall showed then, and bears the same one whenever it leaves again.
"""

from __future__ import annotations

from bisect import bisect_right
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant


def wall_of(board: Board, at: Instant) -> int:
    """Return the wall clock at `at`, in UTC milliseconds since 1970."""
    jumps = board.clock_jumps
    so_many = bisect_right(jumps, at, key=lambda each: each[0])
    return at + sum(by for _, by in jumps[:so_many])
