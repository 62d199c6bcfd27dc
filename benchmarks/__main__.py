"""Measures every row of the speed table: `make bench`, or `make bench-quick` for a smoke run."""

from __future__ import annotations

import argparse
import sys
import tempfile
from pathlib import Path

from benchmarks import (
    appends,
    board_cost,
    burst,
    capacity,
    clocks,
    deadlines,
    figures_of_year,
    first_paint,
    keys,
    next_start,
    plans,
    rebuild,
    rehearsal,
    start,
    stations,
)
from benchmarks.measure import Plan, progress
from benchmarks.process import load
from benchmarks.report import as_row, measured_on, table, write
from benchmarks.site import REPOSITORY

ROWS = {
    "A1": burst,
    "A2": deadlines,
    "A3": deadlines,
    "A4": clocks,
    "T1": board_cost,
    "T2": board_cost,
    "T3": keys,
    "T4": first_paint,
    "T5": burst,
    "S1": appends,
    "S2": appends,
    "S5": rebuild,
    "S6": start,
    "R1": rehearsal,
    "N1": next_start,
    "N2": next_start,
    "N3": next_start,
    "B1": plans,
    "B2": plans,
    "B3": plans,
    "B4": plans,
    "C1": capacity,
    "C2": capacity,
    "F1": figures_of_year,
    "G1": stations,
    "G2": stations,
}
FOLDER = REPOSITORY / "build" / "benchmarks"
"""On the disk where people keep the program, not in memory."""


def main() -> int:
    """Measure, print the table, and write it down unless this is a smoke run."""
    parser = argparse.ArgumentParser(prog="python -m benchmarks", description=__doc__)
    parser.add_argument(
        "rows", nargs="*", metavar="ROW", help="measure these alone, keep the others"
    )
    parser.add_argument("--quick", action="store_true", help="a smoke run: small, once, not kept")
    options = parser.parse_args()
    unknown = [each for each in options.rows if each not in ROWS]
    if unknown:
        parser.error(f"no such row: {', '.join(unknown)}; there are {', '.join(ROWS)}")
    wanted = dict.fromkeys(ROWS[each] for each in options.rows or ROWS)
    FOLDER.mkdir(parents=True, exist_ok=True)
    rows = []
    with tempfile.TemporaryDirectory(dir=FOLDER) as folder:
        plan = Plan(folder=Path(folder), quick=options.quick)
        for each in wanted:
            loads = load()
            figures = []
            for figure in each.measure(plan):
                progress(f"{figure.row}: {figure.said}, to be {figure.to_reach}")
                figures.append(figure)
            on = measured_on(loads)
            rows += [as_row(figure, on) for figure in figures]
            if not options.quick:
                # After each: what was measured in an hour is not lost with the last minute.
                write(REPOSITORY / "docs", rows, list(ROWS))
    order = list(ROWS)
    print(table(sorted(rows, key=lambda row: order.index(row["row"]))))
    return 0


if __name__ == "__main__":
    sys.exit(main())
