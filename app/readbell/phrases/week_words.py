"""The figures of today and of this week, in few words."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from readbell.core.figures.case import Came
from readbell.core.figures.figures import FEW
from readbell.core.instant import SECOND, Span
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    from collections.abc import Container, Iterator

    from readbell.core.figures.tally import Tally
    from readbell.core.figures.week import Week
    from readbell.core.statistics.proportion import Share

HEAD = ("", "today", "this week")
NOT_COUNTED = "The figures of this week are being counted."
HIDDEN = "hidden"
NONE = "-"
AFTER = "positive"
"""Near misses stand before this."""
MORE = "More, with every table: readbell figures, at the command line."
FEW_SAID = f"In brackets the 95 % interval, in percent. Fewer than {FEW} tell little."


def week_rows(week: Week, *, masked: bool) -> Iterator[tuple[str, str, str]]:
    """Yield what it is called, how it is today, and this week; outcomes only where not `masked`."""
    columns = [_column(each, masked=masked) for each in (week.today, week.whole)]
    for name in columns[0]:
        if name == AFTER:
            yield "near misses", f"{week.refused_today:,}", f"{week.refused:,}"
        if any(each[name] != NONE for each in columns):
            yield name, columns[0][name], columns[1][name]


def say_week(week: Week | None, on_hold: Container[str] = ()) -> Iterator[str]:
    """Yield a line for each figure, to be read aloud; some lots may be `on_hold` already."""
    if week is None:
        yield f"{NOT_COUNTED} Ask once more."
        return
    for name, today, whole in week_rows(week, masked=False):
        yield f"{name}: today {today}; this week {whole}"
    yield from say_flagged(week, on_hold)


def say_flagged(week: Week, on_hold: Container[str] = ()) -> Iterator[str]:
    """Yield what is proposed of each lot that is out of the ordinary, where it is not `on_hold`."""
    for lot in week.flagged:
        if lot in on_hold:
            yield f"Lot {lot}: more invalid strips than usual. It is on hold now."
            continue
        yield (
            f"Lot {lot}: more invalid strips than usual. Proposed: run control samples on it, think of "
            "holding it. Nothing was held by itself; readbell quality says more."
        )


def say_advice(week: Week, on_hold: Container[str]) -> Iterator[str]:
    """Yield what to do about each such lot, where a shift begins or ends; nothing of those `on_hold`."""
    for lot in week.flagged:
        if lot not in on_hold:
            yield (
                f"Advice: lot {lot} has had more invalid strips than usual. Run a positive and a "
                "negative control sample on it (Control samples, F3), and think of holding it until "
                "both are read (Lots, F12). Nothing was held by itself."
            )


def week_bars(week: Week) -> Iterator[tuple[str, int]]:
    """Yield each day of the week, today first, and how many tests were begun on it."""
    for day, tally in reversed(week.days):
        yield f"{date.fromisoformat(day):%a %d}", tally.tests


def _column(tally: Tally, *, masked: bool) -> dict[str, str]:
    positive = _share(tally.positivity, tally.came[Came.POSITIVE], tally.valid)
    return {
        "tests": f"{tally.tests:,}",
        "positive": HIDDEN if masked else positive,
        "invalid": _share(tally.invalid, tally.came[Came.INVALID], tally.in_window),
        "lapsed": _share(tally.lapsed, tally.came[Came.LAPSED], tally.tests),
        "repeats": f"{tally.repeats:,}",
        "waits kept": _share(tally.waits_kept, None, tally.waits_timed),
        "read after": _median_clock(tally),
        "swab to told": _median_minutes(tally),
        "stated, picked": f"{tally.stated:,}, {tally.picked:,}",
    }


def _share(share: Share, hits: int | None, of: int) -> str:
    if not of:
        return NONE
    counted = "" if hits is None else f"{hits:,} = "
    low, high = 100 * share.low, 100 * share.high
    return f"{counted}{100 * share.value:.1f} % ({low:.1f} to {high:.1f})"


def _median_clock(tally: Tally) -> str:
    found = tally.read_at.quantiles(0.5)
    return write_span(Span(round(found[0]) * SECOND)) if found else NONE


def _median_minutes(tally: Tally) -> str:
    found = tally.told_after.quantiles(0.5)
    return f"{found[0]:.0f} min" if found else NONE
