"""F1: the figures of a year of a busy site, from its journal as the command reads it."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from benchmarks.busy_year import busy_year
from benchmarks.figure import Figure
from benchmarks.measure import progress, runs, took
from readbell.bay.figuring import figures_of
from readbell.cli.export_session import get_ready, sum_up_only
from readbell.core.figures.table import ALL
from readbell.core.figures.view import By

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from benchmarks.measure import Plan
    from readbell.core.figures.figures import Figures

DAYS, A_DAY = 365, 1_370
SECONDS = 10
A_MONTH = 30


def measure(plan: Plan) -> Iterator[Figure]:
    """Yield F1."""
    days, a_day = plan.size(DAYS, 3), plan.size(A_DAY, 50)
    path = busy_year(plan.folder, days, a_day, _making)
    worked = time.process_time()
    first = took(lambda: get_ready(path, _nobody))
    worked = time.process_time() - worked
    samples, tests = [], 0
    for _ in runs(plan, f"F1, {days * a_day:,} cartridges", 5):
        found: list[Figures] = []
        samples.append(took(lambda into=found: into.append(_figures(path))))  # type: ignore[misc]
        tests = found[0].table.whole.tests
    yield Figure(
        row="F1",
        what=f"figures of {tests:,} tests in {days:,} days, told apart in every way",
        samples=samples,
        reach=SECONDS,
        unit="s",
        how="the journal is opened, summed up from its snapshot, and counted",
        beside={
            "once, where there is no snapshot yet": f"{first:.0f} s",
            "of it the processor": f"{worked:.0f} s",
        },
        bound="making the cells of a day, a lot and two people into values, and adding them up; the "
        "first time a third goes into reading and checking events, a good quarter into folding them, "
        "a fifth into packing what is ended, an eighth into counting it",
    )


def _making(day: int, of: int) -> None:
    if day % A_MONTH == 0:
        progress(f"F1: day {day} of {of} made")


def _figures(path: Path) -> Figures:
    summed = sum_up_only(path, _nobody)
    return figures_of(summed.board, summed.base, ALL, tuple(By), lambda *_: None)


def _nobody(_done: int, _of: int) -> None:
    """Nobody watches how far it is."""
