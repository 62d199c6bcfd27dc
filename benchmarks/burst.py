"""A1 and T5: two hundred windows open in one millisecond, on a board that shows all of them."""

from __future__ import annotations

import re
import subprocess
import sys
import time
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

import pyte

from benchmarks.figure import Figure
from benchmarks.measure import milliseconds, now, runs
from benchmarks.notes import told_in
from benchmarks.past import bench
from benchmarks.site import REPOSITORY, board, environment
from benchmarks.terminal import Terminal, painted
from readbell.core.instant import SECOND, Instant, Span

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from benchmarks.measure import Plan

SIZE = (120, 216)
"""Columns and rows: all two hundred stand in sight."""
CARTRIDGES = 200
LEAD = 9_000
"""Milliseconds from the making of the journal to the burst: the program is up well before."""
HALF_A_SECOND = 500
QUIET_SECONDS = 3
OPEN = "READ NOW"
_UNKNOWN = re.compile(rb"\x1b\[[<>=][\d;]*[a-z]|\x1b\[\?[\d;]*\$p")
"""Questions that this picture of a terminal does not know and would print."""
_BARE_HEAP = (sys.executable, "-m", "benchmarks.baselines.bare_heap")


@dataclass(frozen=True, slots=True, kw_only=True)
class Burst:
    """What one run came to; milliseconds."""

    told: float
    """How late the last alert was on the disk and told."""
    heap: float
    """How late the last was taken from a bare heap, right before."""
    painted: float
    """From due to the picture in which every row says so."""
    quiet: float
    """The same with no alert: from a whole second to the picture that shows it."""
    bytes_a_second: float


def measure(plan: Plan) -> Iterator[Figure]:
    """Yield A1, and T5 in its two parts."""
    cartridges = plan.size(CARTRIDGES, 40)
    found = [
        _burst(plan.folder / f"burst-{number}", cartridges)
        for number in runs(plan, "A1 and T5, alerts at once", 7)
    ]
    yield Figure(
        row="A1",
        what=f"lateness of the last of {cartridges} alerts at once, recorded and told, "
        "against a bare heap",
        samples=[each.told / each.heap for each in found],
        reach=5,
        how="the real board on a terminal; due to told, which is after the commit; the heap alone, "
        "in a process of its own, right before each run",
        beside={
            "told": milliseconds(*(each.told / 1000 for each in found)),
            "bare heap": milliseconds(*(each.heap / 1000 for each in found)),
        },
        bound="of about 4.5 ms in the bay by itself: 0.4 to gather what fell, which is known ahead, 0.3 "
        "for ids and envelopes, 1 to make chained bytes, 0.8 to fold, 1.6 to commit in the thread "
        "that writes, and hand over to it and back, 0.3 to tell; it is woken in the millisecond itself, "
        "as the heap is not. From one hour to the next the processor takes half as long again",
    )
    yield Figure(
        row="T5",
        what=f"{cartridges} alerts at once, painted, later than a second's tick without any",
        samples=[each.painted - each.quiet for each in found],
        reach=100,
        unit="ms",
        how=f"due to the picture in which all {cartridges} rows say so; less from a whole second to "
        "the picture that shows it, on the same board before",
        beside={
            "painted": milliseconds(*(each.painted / 1000 for each in found)),
            "tick": milliseconds(*(each.quiet / 1000 for each in found)),
        },
        bound="one repaint of every row after one commit, about 35 ms: each of them has changed",
    )
    yield Figure(
        row="T5",
        what=f"to the terminal each second, {cartridges} cartridges in sight",
        samples=[each.bytes_a_second / 1000 for each in found],
        reach=12,
        unit="kB",
        how=f"counted over {QUIET_SECONDS} s of countdowns before the burst",
        bound="the digits that change: a place on the screen, a look and some figures for each row",
    )


def _burst(folder: Path, cartridges: int) -> Burst:
    folder.mkdir()
    heap = subprocess.run(
        [*_BARE_HEAP, str(cartridges), "5"],
        cwd=REPOSITORY,
        check=True,
        capture_output=True,
        text=True,
    )
    wall = time.time_ns() // 1_000_000
    # Half a second from any tick, so that what is painted is painted for the alerts.
    opens = (wall + LEAD) // SECOND * SECOND + HALF_A_SECOND
    made = bench(folder / "bay.journal", _at(Instant(opens), cartridges))
    notes = folder / "notes"
    around = environment(folder, READBELL_NOTES=str(notes))
    with Terminal(board(made.journal, noted=True), around, SIZE) as terminal:
        terminal.kept = []
        terminal.until(painted)
        apart = now() - time.time_ns() / 1e9
        due = made.opens / SECOND + apart
        quiet_from = int(made.opens // SECOND) - QUIET_SECONDS + apart
        assert now() < quiet_from, "the program was not up in time"
        terminal.watch(quiet_from - now() - 0.1)
        before = terminal.bytes
        terminal.watch(due - now() - 0.1)
        written = terminal.bytes - before
        terminal.watch(due - now() + 2.0)
    ticks = [quiet_from + second for second in range(QUIET_SECONDS)]
    every = [each for each in told_in(notes, made) if each.alert == "read-now"]
    assert len(every) == cartridges, f"{len(every)} of {cartridges} alerts were told"
    kept = terminal.kept
    return Burst(
        told=max(each.told - each.due for each in every),
        heap=median(map(float, heap.stdout.split())),
        painted=(_all_say_so(kept, cartridges) - due) * 1000,
        quiet=median((_last_before(kept, tick + 0.4) - tick) * 1000 for tick in ticks),
        bytes_a_second=written / (QUIET_SECONDS + HALF_A_SECOND / SECOND),
    )


def _at(opens: Instant, cartridges: int) -> list[Span]:
    # As near as the clock can be read: `bench` reads it once more, a moment later.
    return [Span(opens - time.time_ns() // 1_000_000)] * cartridges


def _last_before(kept: list[tuple[float, bytes]], until: float) -> float:
    return max(came for came, _ in kept if came < until)


def _all_say_so(kept: list[tuple[float, bytes]], cartridges: int) -> float:
    screen = pyte.Screen(*SIZE)
    stream = pyte.ByteStream(screen)
    for came, data in kept:
        stream.feed(_UNKNOWN.sub(b"", data))
        if sum(OPEN in row for row in screen.display) >= cartridges:
            return came
    msg = "the picture never said that every window is open"
    raise AssertionError(msg)
