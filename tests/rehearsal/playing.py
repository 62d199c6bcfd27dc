"""Scenario files played in this process, through the parts that the command uses."""

from __future__ import annotations

import asyncio
import io
import json
from contextlib import redirect_stdout
from typing import TYPE_CHECKING, Any

from readbell.cli.rehearsal_voices import LineByLine, WholeReport
from readbell.rehearsals import load_script, rehearse

if TYPE_CHECKING:
    from pathlib import Path

Report = dict[str, Any]
"""The one JSON object of a rehearsal."""


def report_of(scenario: Path, journal: Path | None = None) -> Report:
    """Play the file `scenario` to its end and return its report."""
    report: Report = json.loads(_said(scenario, WholeReport, journal))
    return report


def lines_of(scenario: Path) -> list[str]:
    """Play the file `scenario` to its end and return what is told, line by line."""
    return _said(scenario, LineByLine, None).splitlines()


def _said(scenario: Path, kind: type[LineByLine] | type[WholeReport], journal: Path | None) -> str:
    script = load_script(scenario)
    with redirect_stdout(io.StringIO()) as out:
        voice = kind(script)
        found = asyncio.run(rehearse(script, journal, None, voice.news, voice.played))
        voice.sum_up(found)
    return out.getvalue()
