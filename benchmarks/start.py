"""S6: starting with a long past, against starting with none."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchmarks.figure import Figure
from benchmarks.first_paint import first_paint
from benchmarks.measure import milliseconds, runs
from benchmarks.past import TOGETHER, at_rest, long_past
from benchmarks.rebuild import making
from benchmarks.site import environment

if TYPE_CHECKING:
    from collections.abc import Iterator

    from benchmarks.measure import Plan

EVENTS, ALL = 100_000, 1_000_000


def measure(plan: Plan) -> Iterator[Figure]:
    """Yield S6, often at a tenth of its size and once at its whole."""
    yield _figure(plan, plan.size(EVENTS, 5_000), 5)
    if not plan.quick:
        yield _figure(plan, ALL, 1)


def _figure(plan: Plan, events: int, usual: int) -> Figure:
    folder = plan.folder / f"start-{events}"
    folder.mkdir()
    long, none = long_past(plan.folder, events, making(events)), folder / "none.journal"
    at_rest(none, 1)
    around = environment(folder)
    for journal in (none, long):
        # Taken up and laid down once, as on any day before; else a start reads the whole record.
        first_paint(journal, around)
    with_past, with_none = [], []
    for _ in runs(plan, f"S6, {events:,} events", usual):
        with_none.append(first_paint(none, around))
        with_past.append(first_paint(long, around))
    return Figure(
        row="S6",
        what=f"start with {events:,} past events and {TOGETHER} running, against none",
        samples=[one / other for one, other in zip(with_past, with_none, strict=True)],
        reach=1.5,
        how="the real board, from starting the process to its first picture, in turns, each bay taken up "
        "and laid down once before; none is a bay with one cartridge and fifteen events",
        beside={f"{events:,}": milliseconds(*with_past), "none": milliseconds(*with_none)},
        bound="the 200 that run, which are made and painted; of the past the snapshot is read, some ten "
        "bytes an event, and its digest checked, while the record is checked afterwards by a process "
        "of its own; the next safe start also looks at the last 400 cartridges for the site's times",
    )
