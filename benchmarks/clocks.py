"""A4: a stopped process, a suspend, and a wall clock that is moved, under the running board."""

from __future__ import annotations

import json
import signal
import time
from contextlib import ExitStack
from dataclasses import dataclass
from typing import TYPE_CHECKING

from benchmarks.figure import Figure
from benchmarks.measure import now, runs
from benchmarks.noted_program import JUMP, NOTES
from benchmarks.notes import told_in
from benchmarks.past import bench
from benchmarks.site import board, environment
from benchmarks.terminal import Terminal, painted
from readbell.core.instant import Span

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from benchmarks.measure import Plan
    from benchmarks.past import Bench

SIZE = (120, 40)
LEAD = 12_000
"""Milliseconds from the making of a journal until it begins: every program is up by then."""
BEGINS = 1_000
DUE = (2_000, 4_000, 9_000)
"""Milliseconds; the disturbance comes at 1,000."""
STOPPED = 5_000
A_MINUTE = 60_000
NANOSECONDS = 1_000_000
STOP, SUSPEND, AHEAD, BACK = "SIGSTOP 5 s", "suspend 5 s", "wall +60 s", "wall -60 s"
JUMPS = {SUSPEND: (STOPPED, STOPPED), AHEAD: (0, A_MINUTE), BACK: (0, -A_MINUTE)}
"""By how much counting and wall clock move at once; the running clock does not."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What became of the alerts of one run."""

    dropped: int
    early: int
    late: float
    """Seconds from when it could be told at the earliest: due, or the end of the disturbance."""


def measure(plan: Plan) -> Iterator[Figure]:
    """Yield A4: lateness, what was dropped, what was early."""
    found = [_round(plan.folder / f"clocks-{number}") for number in runs(plan, "A4, lying clocks")]
    every = [kept for each in found for kept in each.values()]
    worst = {name: max(each[name].late for each in found) for name in (STOP, SUSPEND, AHEAD, BACK)}
    yield Figure(
        row="A4",
        what="worst lateness after SIGSTOP 5 s, a modelled suspend, wall +60 s and -60 s",
        samples=[max(kept.late for kept in each.values()) for each in found],
        reach=1.1,
        unit="s",
        how="four real boards at once, alerts due at 2, 4 and 9 s, the disturbance at 1 s; SIGSTOP "
        "is real, the others move the clocks that the program reads",
        beside={name: f"{late:.3f} s" for name, late in worst.items()},
        bound="the cap of 1 s on each stretch of sleep",
    )
    for what, samples in (
        ("dropped", [sum(kept.dropped for kept in each.values()) for each in found]),
        ("early", [sum(kept.early for kept in each.values()) for each in found]),
    ):
        yield Figure(
            row="A4",
            what=f"alerts {what} of {len(DUE) * len(every)}",
            samples=[float(sum(samples))],
            reach=0,
            unit="alerts",
            how="the same runs, all of them",
            bound="nothing: a countdown is a function of state and clock",
        )


def _round(folder: Path) -> dict[str, Kept]:
    begins = _counting() // NANOSECONDS + LEAD
    stopped_until = 0.0
    with ExitStack() as programs:
        running: dict[str, tuple[Bench, Path, Terminal]] = {}
        for name in (STOP, *JUMPS):
            own = folder / name.replace(" ", "-")
            own.mkdir(parents=True)
            left = begins - _counting() // NANOSECONDS
            made = bench(own / "bay.journal", [Span(left + each) for each in DUE])
            more = {NOTES: str(own / "notes")}
            if name in JUMPS:
                counting, wall = JUMPS[name]
                at = (begins + BEGINS) * NANOSECONDS
                more[JUMP] = json.dumps([at, counting * NANOSECONDS, wall * NANOSECONDS])
            around = environment(own, **more)
            terminal = programs.enter_context(
                Terminal(board(made.journal, noted=True), around, SIZE)
            )
            running[name] = (made, own / "notes", terminal)
        for _, _, terminal in running.values():
            terminal.until(painted)
        assert _counting() < (begins + BEGINS) * NANOSECONDS, "a program was not up in time"
        stopped = running[STOP][2].process
        _watch(running, begins + BEGINS)
        stopped.send_signal(signal.SIGSTOP)
        _watch(running, begins + BEGINS + STOPPED)
        stopped.send_signal(signal.SIGCONT)
        stopped_until = _counting() / NANOSECONDS
        _watch(running, begins + max(DUE) + 2_500)
    resumed = {
        STOP: stopped_until,
        SUSPEND: float(begins + BEGINS + STOPPED),
        AHEAD: 0.0,
        BACK: 0.0,
    }
    return {name: _judge(made, notes, resumed[name]) for name, (made, notes, _) in running.items()}


def _judge(made: Bench, notes: Path, resumed: float) -> Kept:
    every = [each for each in told_in(notes, made) if each.alert == "read-now"]
    return Kept(
        dropped=len(DUE) - len({each.due for each in every}),
        early=sum(each.told < each.due for each in every),
        late=max((each.told - max(each.due, resumed)) / 1000 for each in every),
    )


def _watch(running: dict[str, tuple[Bench, Path, Terminal]], until: int) -> None:
    ends = now() + (until * NANOSECONDS - _counting()) / 1e9
    while now() < ends:
        for _, _, terminal in running.values():
            terminal.read(max(0.0, min(0.005, ends - now())))


def _counting() -> int:
    return time.clock_gettime_ns(time.CLOCK_BOOTTIME)
