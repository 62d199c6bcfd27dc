"""The figures on paper: one file for programs, one for people."""

from __future__ import annotations

import json
import os
import platform
from importlib.metadata import version
from typing import TYPE_CHECKING

from benchmarks.process import load

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from benchmarks.figure import Figure

LIBRARIES = ("textual", "pydantic", "apsw-sqlite3mc", "APScheduler")
INTRODUCTION = """\
# How fast, measured beside the floor

Made by `make bench`; never a timed test, as a busy machine would fail it. Each figure is a ratio
taken inside one run, in turns, and the median of its runs. What stands beside it belongs to the
machine it was measured on and is no promise. How each is measured is code in `benchmarks/`, the
floor beside the product.
"""


def table(figures: Sequence[Figure]) -> str:
    """Return the figures as a table."""
    lines = [
        "| row | what | figure | reach | met | runs | beside | bound by |",
        "|---|---|---|---|---|---|---|---|",
    ]
    for each in figures:
        beside = "; ".join(f"{name}: {value}" for name, value in each.beside.items())
        met = "met" if each.met else "**not met**"
        lines.append(
            f"| {each.row} | {each.what} | {each.said} | {each.to_reach} | {met} | {each.spread} "
            f"| {beside} | {each.bound} |"
        )
    return "\n".join(lines)


def machine(loads: Sequence[float]) -> dict[str, object]:
    """Return what the figures were measured on, without its name."""
    return {
        "processors": os.cpu_count(),
        "system": f"{platform.system()} {platform.machine()}",
        "python": platform.python_version(),
        "libraries": {name: version(name) for name in LIBRARIES},
        "load before": [round(each, 2) for each in loads],
        "load after": [round(each, 2) for each in load()],
    }


def as_json(figures: Sequence[Figure], on: dict[str, object]) -> str:
    """Return everything, each run included."""
    found = [
        {
            "row": each.row,
            "what": each.what,
            "figure": round(each.value, 4),
            "unit": each.unit,
            "reach": each.to_reach,
            "met": each.met,
            "runs": [round(sample, 4) for sample in each.samples],
            "beside": dict(each.beside),
            "how": each.how,
            "bound": each.bound,
        }
        for each in figures
    ]
    return json.dumps({"machine": on, "figures": found}, indent=2, ensure_ascii=False) + "\n"


def as_page(figures: Sequence[Figure], on: dict[str, object]) -> str:
    """Return the page for people."""
    how = "\n".join(f"* **{each.row}**, {each.what}: {each.how}." for each in figures)
    busy = f"{on['load before']} before and {on['load after']} after"
    return (
        f"{INTRODUCTION}\n{on['processors']} processors, {on['system']}, Python {on['python']}; "
        f"how busy the machine was with everything (1, 5, 15 minutes): {busy}.\n\n"
        f"{table(figures)}\n\n## How each is measured\n\n{how}\n"
    )


def write(folder: Path, figures: Sequence[Figure], loads: Sequence[float]) -> None:
    """Write both files."""
    on = machine(loads)
    (folder / "benchmarks.json").write_text(as_json(figures, on), "utf-8")
    (folder / "benchmarks.md").write_text(as_page(figures, on), "utf-8")
