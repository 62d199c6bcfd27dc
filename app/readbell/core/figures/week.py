"""The figures of today and of this week, to be seen at a glance."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from readbell.core.figures.tally import Tally
from readbell.core.figures.watching import flagged_lots
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Collection

    from readbell.core.figures.counted import Counted
    from readbell.core.statistics.cusum import Watch


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """What one week has come to so far."""

    day: str
    """Today, at the site, as YYYY-MM-DD."""
    today: Tally
    whole: Tally
    """From Monday on."""
    days: tuple[tuple[str, Tally], ...]
    """Each day of it up to today, worked on or not."""
    refused_today: int
    """Near misses of today."""
    refused: int
    """From Monday on."""
    flagged: tuple[str, ...] = ()
    """Lots whose invalid strips have become more frequent, of those that were used in this week or
    may still be."""


def monday_of(day: str) -> str:
    """Return the Monday of the week of `day`; both as YYYY-MM-DD."""
    found = date.fromisoformat(day)
    return (found - timedelta(days=found.weekday())).isoformat()


def week_of(
    counted: Counted,
    day: str,
    watch: Watch | None = None,
    refused: tuple[int, int] = (0, 0),
    in_store: Collection[str] = (),
) -> Week:
    """Return the week of `day` up to it, out of what was counted; the tallies are its own.

    Args:
        counted: what was counted of the week, and as far before it as lots are watched.
        day: today.
        watch: what lots are watched by; None: they are not.
        refused: how many near misses there were on the day, and in the week.
        in_store: numbers of the lots that may still be used.
    """
    first = date.fromisoformat(monday_of(day))
    passed = (date.fromisoformat(day) - first).days
    days = {(first + timedelta(days=each)).isoformat(): Tally() for each in range(passed + 1)}
    whole = Tally()
    matter = {*in_store}
    for cell, tally in counted.cells.items():
        if cell.day in days:
            days[cell.day].join(tally)
            whole.join(tally)
            matter.add(cell.lot)
    found = () if watch is None else flagged_lots(watch, counted)
    flagged = tuple(each for each in found if each in matter)
    return Week(
        day=day,
        today=days[day],
        whole=whole,
        days=tuple(days.items()),
        refused_today=refused[0],
        refused=refused[1],
        flagged=flagged,
    )
