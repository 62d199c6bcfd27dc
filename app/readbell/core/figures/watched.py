"""What watching came to for some days, and what is proposed of it; nothing ever follows by itself.

A week has a lot or two, which cannot be held against each other. So a chart always reaches back a
quarter before the last day that is asked about; proposed is something only for lots that were used on
the days themselves. Each assay has charts of its own: invalid strips are not alike among kits.
"""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from typing import TYPE_CHECKING

from readbell.core.figures.table import Chosen
from readbell.core.figures.tally import Tally
from readbell.core.figures.view import By
from readbell.core.figures.watching import Sign, chart, flags, promise_of
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from readbell.core.figures.counted import Counted
    from readbell.core.figures.watching import Chart, Flag, Point, Promise
    from readbell.core.statistics.cusum import Watch

REACHES_BACK = 91
"""Days that a chart covers at least, where there is that much; our own choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Charted:
    """A chart, and of what."""

    assay: str
    by: By
    """Lot or operator."""
    chart: Chart


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A lot that control samples should be run on, and that should perhaps be held."""

    assay: str
    lot: str
    flag: Flag | None
    """What the running sum says; None: nothing."""
    point: Point | None
    """The lot on the chart of invalid strips; None: none of it was read on the days of the chart."""
    middle: float
    """The share of invalid strips over all lots of that chart."""
    last: str
    """The last day on which it was used, as YYYY-MM-DD, as far as it was asked about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """What watching came to."""

    since: str | None
    """From which day on the charts count; None: there is nothing to count."""
    until: str | None
    charts: tuple[Charted, ...]
    """By assay: invalid strips by lot and by operator, then positives by lot and by operator."""
    promise: Promise
    proposals: tuple[Proposal, ...]
    """Those of whom the running sum speaks first, in the order of their days."""


def watched(counted: Counted, chosen: Chosen, watch: Watch) -> Watched:
    """Return what watching comes to.

    Args:
        counted: what was counted of the whole record.
        chosen: which days and assays are asked about, and which lots something may be proposed for.
        watch: what the running sum watches for.
    """
    span = _span(counted, chosen)
    charts = () if span is None else tuple(_charts(counted, span))
    return Watched(
        since=None if span is None else span.since,
        until=None if span is None else span.until,
        charts=charts,
        promise=promise_of(watch),
        proposals=tuple(_proposals(counted, chosen, charts, flags(watch, counted))),
    )


def _span(counted: Counted, chosen: Chosen) -> Chosen | None:
    """Return what the charts cover, or None where nothing was counted."""
    days = [cell.day for cell in counted.cells if chosen.holds_day(cell.day)]
    if not days:
        return None
    last = chosen.until or max(days)
    back = (date.fromisoformat(last) - timedelta(days=REACHES_BACK - 1)).isoformat()
    since = min(cell.day for cell in counted.cells)
    if chosen.since is not None:
        since = max(since, min(chosen.since, back))
    return Chosen(since=since, until=last, assays=chosen.assays)


def _charts(counted: Counted, span: Chosen) -> Iterator[Charted]:
    for assay in sorted({cell.assay for cell in counted.cells if span.holds(cell)}):
        of_it = Chosen(since=span.since, until=span.until, assays=(assay,))
        for sign in Sign:
            for by in (By.LOT, By.OPERATOR):
                yield Charted(assay=assay, by=by, chart=chart(_groups(counted, of_it, by), sign))


def _groups(counted: Counted, chosen: Chosen, by: By) -> Mapping[str, Tally]:
    """Return what came of the cases of each group, in the order in which they came first."""
    found: dict[str, Tally] = {}
    for cell in sorted(counted.cells, key=lambda each: (each.day, each.lot, each.operator)):
        if chosen.holds(cell):
            key = cell.lot if by is By.LOT else cell.operator
            tally = found.setdefault(key, Tally(came=Counter()))
            for came, count in counted.cells[cell].came.items():
                tally.came[came] += count
    return found


def _proposals(
    counted: Counted, chosen: Chosen, charts: tuple[Charted, ...], found: tuple[Flag, ...]
) -> Iterator[Proposal]:
    last: dict[tuple[str, str], str] = {}
    for cell, tally in counted.cells.items():
        if chosen.holds(cell) and tally.total:
            key = cell.assay, cell.lot
            last[key] = max(cell.day, last.get(key, cell.day))
    flagged = {
        (each.assay, each.lot): each
        for each in found
        if chosen.until is None or each.day <= chosen.until
    }
    of_lots = {
        each.assay: each.chart
        for each in charts
        if each.by is By.LOT and each.chart.sign is Sign.INVALID
    }
    points = {(assay, each.key): each for assay, of_it in of_lots.items() for each in of_it.points}
    high = (key for key, point in points.items() if point.is_high)
    for key in dict.fromkeys((*flagged, *high)):
        if key in last:
            assay, lot = key
            yield Proposal(
                assay=assay,
                lot=lot,
                flag=flagged.get(key),
                point=points.get(key),
                middle=of_lots[assay].middle,
                last=last[key],
            )
