"""R1: a whole day rehearsed, against the day itself."""

from __future__ import annotations

import json
import subprocess
from typing import TYPE_CHECKING

from benchmarks.figure import Figure
from benchmarks.measure import runs, took
from benchmarks.site import PROGRAM, environment

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from benchmarks.measure import Plan

CARTRIDGES = 600
HOURS = 8
OPERATORS = 4
HEAD = """\
title = "A day of a drive-through"
starts = 2026-05-05T07:00:00+00:00
timezone = "Europe/London"
assay = "respiratory-antigen-nasal"
"""


def measure(plan: Plan) -> Iterator[Figure]:
    """Yield R1."""
    cartridges = plan.size(CARTRIDGES, 60)
    scenario = plan.folder / "day.toml"
    scenario.write_text(day(cartridges), "utf-8")
    around = environment(plan.folder)
    ratios, times = [], []
    for _ in runs(plan, "R1, a day rehearsed"):
        seconds = took(lambda: _rehearse(scenario, around, plan.folder))
        played = json.loads((plan.folder / "day.json").read_text("utf-8"))
        times.append(seconds)
        ratios.append(_simulated_seconds(played) / seconds)
    yield Figure(
        row="R1",
        what=f"`rehearse --unattended` of {HOURS} hours and {cartridges} cartridges: simulated to "
        "real time",
        samples=ratios,
        reach=2_000,
        at_least=True,
        how="the command from its start to its end, its report as JSON included; the simulated time "
        f"counted is the {HOURS} hours alone, not what follows them until the last strip is read",
        beside={"the command took": f"{sorted(times)[len(times) // 2]:.2f} s"},
        bound="every turn is recorded, chained and folded as on a real day; and each choice of the "
        "hands is played ahead to its end",
    )


def _simulated_seconds(played: object) -> float:
    assert played, "nothing was played"
    return HOURS * 3_600.0


def _rehearse(scenario: Path, around: dict[str, str], folder: Path) -> None:
    with (folder / "day.json").open("wb") as output:
        subprocess.run(
            [*PROGRAM, "rehearse", str(scenario), "--unattended", "--json"],
            env=around,
            check=True,
            stdout=output,
        )


def day(cartridges: int) -> str:
    """Return the scenario: somebody arrives after even stretches, every tenth is positive."""
    apart = HOURS * 3_600 // cartridges
    parts = [HEAD]
    parts += [f'[[operator]]\nid = "op-{each}"\n' for each in range(OPERATORS)]
    parts.append('[[lot]]\nnumber = "L-204"\nexpires = 2027-01-01\nunits = 2000\n')
    for each in range(cartridges):
        minutes, seconds = divmod(apart * each, 60)
        hours, minutes = divmod(minutes, 60)
        arrives = f"{hours}:{minutes:02}:{seconds:02}"
        parts.append(f'[[person]]\nid = "P-{each:04}"\narrives = "{arrives}"\n')
        if each % 10 == 0:
            parts.append('[person.bands]\ntest = { from = "5:00", strength = "faint" }\n')
    return "".join(parts)
