"""T1 and T2: the processor time of a board that only counts down."""

from __future__ import annotations

import sys
from contextlib import ExitStack
from typing import TYPE_CHECKING

from benchmarks.figure import Figure
from benchmarks.measure import now, runs
from benchmarks.past import at_rest
from benchmarks.process import cpu_seconds
from benchmarks.site import board, environment
from benchmarks.terminal import Terminal, painted

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from benchmarks.measure import Plan

FEW, VISIBLE, MANY = 10, 200, 1_000
SIZE, TALL = (120, 50), (120, 216)
SETTLING = 3.0
"""Seconds after the first picture that are not counted: bytecode, caches, the first tick."""
WATCHED = 10.0


def measure(plan: Plan) -> Iterator[Figure]:
    """Yield T1 and T2."""
    many = plan.size(MANY, 100)
    folder = plan.folder / "cost"
    folder.mkdir()
    for cartridges in {FEW, VISIBLE, many}:
        at_rest(folder / f"{cartridges}.journal", cartridges)
    around = environment(folder)

    def ours(cartridges: int, size: tuple[int, int]) -> Terminal:
        return Terminal(board(folder / f"{cartridges}.journal"), around, size)

    few, all_of_them = [], []
    for each in _watch(plan, "T1, processor", {"few": ours(FEW, SIZE), "many": ours(many, SIZE)}):
        few.append(each["few"])
        all_of_them.append(each["many"])
    yield Figure(
        row="T1",
        what=f"processor at {many:,} cartridges against {FEW}",
        samples=[one / other for one, other in zip(all_of_them, few, strict=True)],
        reach=2,
        how="two real boards side by side on terminals of 50 rows, the same seconds of both, from "
        "the kernel's nanoseconds",
        beside={f"{many:,}": _percent(all_of_them), str(FEW): _percent(few)},
        bound="rows in sight: made in one thread by itself a tick took 1.2 ms with 10 cartridges, 1.9 "
        "with the 34 that fill the screen, 2.5 to 3 with 1,000; every cartridge is looked at only "
        "when an act or an instant changes where one of them stands",
    )
    compound = Terminal(
        [sys.executable, "-m", "benchmarks.baselines.compound_board", str(VISIBLE)], around, TALL
    )
    line, widgets = [], []
    both = {"line": ours(VISIBLE, TALL), "compound": compound}
    for each in _watch(plan, "T2, processor", both):
        line.append(each["line"])
        widgets.append(each["compound"])
    yield Figure(
        row="T2",
        what=f"processor with {VISIBLE} in sight, against one compound widget per cartridge",
        samples=[one / other for one, other in zip(line, widgets, strict=True)],
        reach=0.25,
        how="side by side on terminals of 216 rows; the widgets change only their figure and their "
        "bar, without a new layout",
        beside={"readbell": _percent(line), "widgets": _percent(widgets)},
        bound="200 figures made and sent each second, about 7 ms; the rest of a row is kept until it "
        "may change, which is known as it is made",
    )


def _watch(plan: Plan, what: str, terminals: Mapping[str, Terminal]) -> Iterator[dict[str, float]]:
    """Yield the processor time of each program in one and the same stretch, as a share of it."""
    with ExitStack() as running:
        for each in terminals.values():
            running.enter_context(each)
        for each in terminals.values():
            each.until(painted)
        _read(terminals, 0.5 if plan.quick else SETTLING)
        for _ in runs(plan, what):
            before = {name: cpu_seconds(each.process.pid) for name, each in terminals.items()}
            begins = now()
            _read(terminals, 2.0 if plan.quick else WATCHED)
            passed = now() - begins
            yield {
                name: (cpu_seconds(each.process.pid) - before[name]) / passed
                for name, each in terminals.items()
            }


def _read(terminals: Mapping[str, Terminal], seconds: float) -> None:
    ends = now() + seconds
    while now() < ends:
        for each in terminals.values():
            each.read(0.01)


def _percent(shares: list[float]) -> str:
    return f"{sorted(shares)[len(shares) // 2] * 100:.2f} %"
