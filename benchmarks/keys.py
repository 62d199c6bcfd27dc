"""T3: from a key to the picture it makes, the slowest of many."""

from __future__ import annotations

import random
import re
from typing import TYPE_CHECKING

from benchmarks.figure import Figure
from benchmarks.measure import milliseconds, runs
from benchmarks.past import at_rest
from benchmarks.site import board, environment
from benchmarks.terminal import Terminal, painted

if TYPE_CHECKING:
    from collections.abc import Iterator

    from benchmarks.measure import Plan

FEW, MANY = 10, 1_000
SIZE = (120, 50)
PRESSES = 100
THERE_AND_BACK = 5
UP, DOWN = b"\x1b[A", b"\x1b[B"
SETTLING = 2.0
SEED = 20_260_329
_CHOSEN = re.compile(rb"\[\d{4}\]")


def measure(plan: Plan) -> Iterator[Figure]:
    """Yield T3."""
    many, presses = plan.size(MANY, 100), plan.size(PRESSES, 10)
    folder = plan.folder / "keys"
    folder.mkdir()
    for cartridges in (FEW, many):
        at_rest(folder / f"{cartridges}.journal", cartridges)
    around = environment(folder)
    slowest: dict[int, list[float]] = {FEW: [], many: []}
    middle: dict[int, list[float]] = {FEW: [], many: []}
    pauses = random.Random(SEED)  # noqa: S311  # spreads the presses over the second, no secret
    with (
        Terminal(board(folder / f"{FEW}.journal"), around, SIZE) as one,
        Terminal(board(folder / f"{many}.journal"), around, SIZE) as other,
    ):
        boards = {FEW: one, many: other}
        for each in boards.values():
            each.until(painted)
        for each in boards.values():
            each.watch(SETTLING)
            # From here on each run ends where it began, on the first row.
            _press(each, DOWN)
        for _ in runs(plan, "T3, keys"):
            waits: dict[int, list[float]] = {FEW: [], many: []}
            for press in range(presses):
                key = DOWN if press // THERE_AND_BACK % 2 == 0 else UP
                for size, terminal in boards.items():
                    terminal.watch(pauses.uniform(0.08, 0.12))
                    waits[size].append(_press(terminal, key))
            for size, found in waits.items():
                slowest[size].append(max(found))
                middle[size].extend(found)
    yield Figure(
        row="T3",
        what=f"slowest of {presses} key presses at {many:,} cartridges, against {FEW}",
        samples=[one / other for one, other in zip(slowest[many], slowest[FEW], strict=True)],
        reach=2,
        how="two real boards side by side, a key on one, then on the other, at odd instants of the "
        "second; from the key to the row that says it is chosen",
        beside={
            f"slowest, {many:,}": milliseconds(*slowest[many]),
            f"slowest, {FEW}": milliseconds(*slowest[FEW]),
            f"median, {many:,}": milliseconds(*middle[many]),
            f"median, {FEW}": milliseconds(*middle[FEW]),
        },
        bound="50 ms in which a key may turn out to be part of a scan; a repaint right before it adds up to 50",
    )


def _press(terminal: Terminal, key: bytes) -> float:
    terminal.forget()
    pressed = terminal.give(key)
    return terminal.until(lambda text: bool(_CHOSEN.search(text))) - pressed
