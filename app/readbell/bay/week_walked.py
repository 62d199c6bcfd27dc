"""The cartridges of a week, and as far before it as lots are watched, walked through from the newest."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from readbell.core.board.layered import newest
from readbell.core.figures.case import case_of
from readbell.core.figures.counted import Counted
from readbell.core.instant import later
from readbell.journal.counting import SiteDays

if TYPE_CHECKING:
    from readbell.core.board.board import Board

REACHES_BACK = timedelta(days=91)
AT_MOST = 5_000
"""So far before the week, and through so many cartridges of it, are lots watched: a lot that went
bad last week is no better this Monday. The running sum begins there (our own choice)."""


def refused(board: Board, first: str, day: str) -> tuple[int, int]:
    """Return how many acts were refused on `day`, and from the day `first` on."""
    days, today, all_of_them = SiteDays(board), 0, 0
    for miss in newest(board.near_misses):
        if days.of(later(miss.at, board.out_of_order))[0] < first:
            break
        found, _ = days.of(miss.at)
        today += found == day
        all_of_them += found >= first
    return today, all_of_them


def walked(board: Board, first: str) -> Counted:
    """Count what was begun on the day `first` or later, and some of what was before; the latest first."""
    counted, days = Counted(), SiteDays(board)
    monday = date.fromisoformat(first)
    # What nobody has touched since the day before it ended before the week did begin.
    before = (monday - timedelta(days=1)).isoformat()
    oldest, older = (monday - REACHES_BACK).isoformat(), 0
    for cartridge in newest(board.ended):
        touched, _ = days.of(later(cartridge.last_act, board.out_of_order))
        if touched < oldest or (touched < before and older >= AT_MOST):
            break
        day, hour = days.of(cartridge.labelled.at)
        older += day < first
        if oldest <= day:
            counted.count(case_of(cartridge, board.told.get(cartridge.id, ())), day, hour)
    return counted
