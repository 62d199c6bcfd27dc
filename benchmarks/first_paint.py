"""T4: from starting the program to its first picture."""

from __future__ import annotations

import subprocess
import sys
from typing import TYPE_CHECKING

from benchmarks.figure import Figure
from benchmarks.measure import milliseconds, runs, took
from benchmarks.past import at_rest
from benchmarks.site import board, environment
from benchmarks.terminal import Terminal, painted

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from pathlib import Path

    from benchmarks.measure import Plan

FEW, MANY = 10, 1_000
SIZE = (120, 50)
IMPORT = (sys.executable, "-c", "import textual.app")


def measure(plan: Plan) -> Iterator[Figure]:
    """Yield T4 in its two parts."""
    many = plan.size(MANY, 100)
    folder = plan.folder / "paint"
    folder.mkdir()
    journals = {size: folder / f"{size}.journal" for size in (FEW, many)}
    for size, journal in journals.items():
        at_rest(journal, size)
    around = environment(folder)
    for journal in journals.values():
        first_paint(journal, around)  # once for the bytecode, and to be laid down as a bay is
    few, every, imports = [], [], []
    for _ in runs(plan, "T4, first paint", 9):
        few.append(first_paint(journals[FEW], around))
        every.append(first_paint(journals[many], around))
        imports.append(took(lambda: subprocess.run(IMPORT, env=around, check=True)))
    beside = {
        f"{many:,}": milliseconds(*every),
        str(FEW): milliseconds(*few),
        "import textual.app": milliseconds(*imports),
    }
    how = (
        "from starting the process to the first picture on the terminal, bytecode cached, in turns"
    )
    yield Figure(
        row="T4",
        what=f"first paint at {many:,} cartridges against {FEW}",
        samples=[one / other for one, other in zip(every, few, strict=True)],
        reach=1.2,
        how=how,
        beside=beside,
        bound="what runs: of each thousand about 15 ms to read them, field by field, 7 for the alerts to come, "
        "10 for where each stands, and the digest of the program by which the snapshot is believed, 6",
    )
    yield Figure(
        row="T4",
        what=f"first paint at {FEW} cartridges against `python -c 'import textual.app'`",
        samples=[one / other for one, other in zip(few, imports, strict=True)],
        reach=1.6,
        how=how,
        beside=beside,
        bound="of what it takes beyond the floor about half is the 300 files of this program that a picture "
        "needs, a quarter opening the bay, a quarter starting the screen and painting it; what checks "
        "files and lines, the rules, the planner and all other pages come after it (cli/starting.py)",
    )


def first_paint(journal: Path, around: Mapping[str, str]) -> float:
    """Return the seconds to the first picture of the bay in `journal`."""
    with Terminal(board(journal), around, SIZE) as terminal:
        return terminal.until(painted, 600.0) - terminal.started
