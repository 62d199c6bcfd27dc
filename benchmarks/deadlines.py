"""A2 and A3: what a pending alert costs, in time and in memory."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING

from benchmarks.figure import Figure
from benchmarks.measure import microseconds, runs, took
from benchmarks.site import REPOSITORY
from readbell.core.instant import Instant
from readbell.scheduler.deadlines import Deadlines

if TYPE_CHECKING:
    from collections.abc import Iterator

    from benchmarks.measure import Plan

FEW, MANY = 1_000, 100_000
TOUCHED = 1_000
"""So many deadlines are put in and taken back in one measurement."""
REPEATS = 20
A_DAY = 86_400_000
HELD = 10_000
_OURS = (sys.executable, "-m", "benchmarks.baselines.memory_of_deadlines")
_THEIRS = (sys.executable, "-m", "benchmarks.baselines.memory_of_apscheduler")


def measure(plan: Plan) -> Iterator[Figure]:
    """Yield A2 and A3."""
    many = plan.size(MANY, 10_000)
    few_us, many_us = [], []
    for _ in runs(plan, "A2, insert and cancel", 7):
        few_us.append(_insert_and_cancel(FEW))
        many_us.append(_insert_and_cancel(many))
    yield Figure(
        row="A2",
        what=f"insert and cancel with {many:,} pending, against {FEW:,}",
        samples=[one / other for one, other in zip(many_us, few_us, strict=True)],
        reach=2,
        how=f"the product's queue in turns; {TOUCHED} inserted at places spread over a day, among "
        "them some that are next, asked for the next each time, then cancelled",
        beside={f"{many:,}": microseconds(*many_us), f"{FEW:,}": microseconds(*few_us)},
        bound="the depth of one heap and the processor's cache",
    )
    held = plan.size(HELD, 1_000)
    ours, theirs = [], []
    for _ in runs(plan, "A3, memory per pending alert"):
        ours.append(_bytes_each([*_OURS, str(held)]))
        theirs.append(_bytes_each([*_THEIRS, str(held)]))
    yield Figure(
        row="A3",
        what=f"memory per pending alert, against APScheduler, at {held:,}",
        samples=[one / other for one, other in zip(ours, theirs, strict=True)],
        reach=0.2,
        how="tracemalloc in a process each, the scheduler running as it would; instants included, the "
        "ids not, which stand on the board already, nor the libraries",
        beside={"readbell": _bytes(ours), "APScheduler": _bytes(theirs)},
        bound="an instant, its place in the heap, and an entry in each of two mappings",
    )


def _insert_and_cancel(pending: int) -> float:
    """Return the seconds that one deadline takes to be put in and taken back."""
    deadlines = Deadlines()
    apart = A_DAY // pending
    for place in range(pending):
        deadlines.set(f"cartridge-{place}", Instant(place * apart + apart // 2))
    keys = [f"new-{place}" for place in range(TOUCHED)]
    # The first of them falls due before all that pend, the others all over the day.
    dues = [Instant(place * (A_DAY // TOUCHED)) for place in range(TOUCHED)]

    def work() -> None:
        for key, due in zip(keys, dues, strict=True):
            deadlines.set(key, due)
            deadlines.next_due()
        for key in keys:
            deadlines.drop(key)
            deadlines.next_due()

    return min(took(work) for _ in range(REPEATS)) / TOUCHED


def _bytes_each(command: list[str]) -> float:
    done = subprocess.run(command, cwd=REPOSITORY, check=True, capture_output=True, text=True)
    return float(done.stdout)


def _bytes(found: list[float]) -> str:
    return f"{sorted(found)[len(found) // 2]:,.0f} B"
