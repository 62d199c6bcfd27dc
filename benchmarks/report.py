"""The figures on paper: one file for programs, one for people."""

from __future__ import annotations

import json
import os
import platform
from datetime import UTC, datetime
from importlib.metadata import version
from typing import TYPE_CHECKING, Any

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
floor beside the product. `make bench ROWS="A1 T4"` measures those rows anew and keeps the others.
"""
Row = dict[str, Any]
"""One figure as it is kept: as read from the file, or made by `as_row`."""


def as_row(figure: Figure, on: Row) -> Row:
    """Return a figure with everything people and programs may ask of it."""
    return {
        "row": figure.row,
        "what": figure.what,
        "figure": round(figure.value, 4),
        "unit": figure.unit,
        "said": figure.said,
        "reach": figure.to_reach,
        "met": figure.met,
        "runs": [round(sample, 4) for sample in figure.samples],
        "spread": figure.spread,
        "beside": dict(figure.beside),
        "how": figure.how,
        "bound": figure.bound,
        "measured": on,
    }


def table(rows: Sequence[Row]) -> str:
    """Return the figures as a table."""
    lines = [
        "| row | what | figure | reach | met | runs | beside | bound by |",
        "|---|---|---|---|---|---|---|---|",
    ]
    for each in rows:
        beside = "; ".join(f"{name}: {value}" for name, value in each["beside"].items())
        met = "met" if each["met"] else "**not met**"
        lines.append(
            f"| {each['row']} | {each['what']} | {each['said']} | {each['reach']} | {met} "
            f"| {each['spread']} | {beside} | {each['bound']} |"
        )
    return "\n".join(lines)


def measured_on(loads: Sequence[float]) -> Row:
    """Return when it was measured, and how busy the machine was with everything."""
    return {
        "day": datetime.now(UTC).date().isoformat(),
        "load before": [round(each, 2) for each in loads],
        "load after": [round(each, 2) for each in load()],
    }


def machine() -> Row:
    """Return what the figures were measured on, without its name."""
    return {
        "processors": os.cpu_count(),
        "system": f"{platform.system()} {platform.machine()}",
        "python": platform.python_version(),
        "libraries": {name: version(name) for name in LIBRARIES},
    }


def as_page(rows: Sequence[Row], on: Row) -> str:
    """Return the page for people."""
    how = "\n".join(f"* **{each['row']}**, {each['what']}: {each['how']}." for each in rows)
    return (
        f"{INTRODUCTION}\n{on['processors']} processors, {on['system']}, Python {on['python']}.\n\n"
        f"{table(rows)}\n\n## How busy the machine was\n\n"
        f"Processes that wanted a processor, over 1, 5 and 15 minutes.\n\n{_busy(rows)}\n\n"
        f"## How each is measured\n\n{how}\n"
    )


def _busy(rows: Sequence[Row]) -> str:
    said: dict[str, list[str]] = {}
    for each in rows:
        on = each["measured"]
        words = f"{on['day']}: {on['load before']} before and {on['load after']} after"
        said.setdefault(words, []).append(each["row"])
    return "\n".join(
        f"* {', '.join(dict.fromkeys(names))}: {words}." for words, names in said.items()
    )


def write(folder: Path, rows: Sequence[Row], order: Sequence[str]) -> None:
    """Write both files: `rows` as they were measured now, every other row as it stood."""
    file = folder / "benchmarks.json"
    stood: list[Row] = json.loads(file.read_text("utf-8"))["figures"] if file.exists() else []
    anew = {each["row"] for each in rows}
    kept = [each for each in stood if each["row"] not in anew and each["row"] in order]
    found = sorted([*kept, *rows], key=lambda each: order.index(each["row"]))
    on = machine()
    text = json.dumps({"machine": on, "figures": found}, indent=2, ensure_ascii=False) + "\n"
    file.write_text(text, "utf-8")
    (folder / "benchmarks.md").write_text(as_page(found, on), "utf-8")
