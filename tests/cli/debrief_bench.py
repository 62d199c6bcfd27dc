"""Attempts that are at hand, what a site asks of them, and a bay in which they may clear somebody."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from cli.conftest import NASAL
from rehearsal.playing import report_of

if TYPE_CHECKING:
    from cli.conftest import Start

DEMOS = Path(__file__).parents[2] / "demo_scenarios"
SLIPS = DEMOS / "interrupted_reader.toml"
RIGHT = DEMOS / "quiet_morning.toml"


def played(scenario: Path, folder: Path, name: str = "") -> Path:
    """Play `scenario` and return its journal."""
    journal = folder / f"{name or scenario.stem}.journal"
    report_of(scenario, journal)
    return journal


def training(tmp_path: Path, **keys: object) -> None:
    """Have the site ask for so much."""
    folder = tmp_path / "CONFIG" / "readbell"
    folder.mkdir(parents=True)
    lines = [f"{key} = {json.dumps(value)}" for key, value in keys.items()]
    (folder / "settings.toml").write_text("\n".join(["[training]", *lines, ""]), encoding="utf-8")


def bay_of_two(start_bay: Start, tmp_path: Path) -> Path:
    """A bay with two operators and the assay, closed again."""
    path = tmp_path / "bay.journal"
    process = start_bay(path, "--quiet")
    process.must(do="register-operator", id="op-1")
    process.must(do="register-operator", id="op-3", by="op-1")
    process.must(do="adopt-assay", by="op-1", assay=NASAL, instructions="v1")
    process.end_of_input()
    assert process.wait() == 0
    return path
