"""Weeks as ISO 8601 counts them, written as 2026-W13: from Monday to Sunday."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import TYPE_CHECKING

from readbell.core.figures.tally import Tally

if TYPE_CHECKING:
    from collections.abc import Mapping

_WEEK = re.compile(r"(\d{4})-W(\d{2})", re.ASCII)


def days_of(week: str) -> tuple[date, date] | None:
    """Return the first and the last day of `week`, or None where it is none."""
    found = _WEEK.fullmatch(week)
    if found is None:
        return None
    try:
        first = date.fromisocalendar(int(found[1]), int(found[2]), 1)
        return first, first + timedelta(days=6)
    except (ValueError, OverflowError):
        return None


def by_week(days: Mapping[str, Tally]) -> Mapping[str, Tally]:
    """Return what was counted by day, as YYYY-MM-DD in rising order, by week."""
    found: dict[str, Tally] = {}
    for day, tally in days.items():
        year, week, _ = date.fromisoformat(day).isocalendar()
        found.setdefault(f"{year:04}-W{week:02}", Tally()).join(tally)
    return found
