"""What was tried and what was lost: on the screen as it goes, and in docs/torture.md."""

from __future__ import annotations

import json
import platform
import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import apsw

from torture.trial import Tried

if TYPE_CHECKING:
    from collections.abc import Sequence

    from torture.trial import Trial

TOP = Path(__file__).parents[2]
KEPT = TOP / "build" / "torture"
PAPER = TOP / "docs" / "torture.md"
MOST_WRONG = 5

HEAD = """\
# Torture: what was tried, and what was lost

Written by `make torture`; the trials are in `tests/torture/trials`, and a short
version of each runs with the tests. "lost" counts acknowledged things that were
gone, or rules broken; it must be 0, except in a control, where a loss must show:
without it the trial beside it would prove nothing.
"""


def say(what: Tried | str) -> None:
    """Print a line, or a row of the table with all that went wrong."""
    if isinstance(what, str):
        sys.stdout.write(f"{what}\n")
    else:
        sys.stdout.write(f"  {_verdict(what):9} {what.times:6} times  {what.lost:5} lost  ")
        sys.stdout.write(f"{what.what}{'; ' + what.note if what.note else ''}\n")
        for each in what.wrong[:MOST_WRONG]:
            sys.stdout.write(f"            {each}\n")
        if len(what.wrong) > MOST_WRONG:
            sys.stdout.write(f"            and {len(what.wrong) - MOST_WRONG} more\n")
    sys.stdout.flush()


def keep(trial: Trial, rows: Sequence[Tried], seed: int) -> None:
    """Keep what a trial came to, until it is run again."""
    KEPT.mkdir(parents=True, exist_ok=True)
    found = {"seed": seed, "rows": [asdict(row) for row in rows]}
    (KEPT / f"{trial.name}.json").write_text(json.dumps(found, indent=1), "utf-8")


def write_paper(trials: Sequence[Trial]) -> str:
    """Write the paper from the last run of each trial; return its name."""
    parts = [HEAD]
    for trial in trials:
        file = KEPT / f"{trial.name}.json"
        if not file.exists():
            parts.append(f"\n## {trial.title}\n\nNot tried yet.\n")
            continue
        found = json.loads(file.read_text("utf-8"))
        rows = [Tried(**each) for each in found["rows"]]
        parts.append(
            f"\n## {trial.title}\n\nSeed {found['seed']}.\n\n"
            "| tried | times | lost | came out | in detail |\n|---|---:|---:|---|---|\n"
        )
        parts += [
            f"| {row.what} | {row.times:,} | {row.lost:,} | {_verdict(row)} | {_detail(row)} |\n"
            for row in rows
        ]
    system = f"{platform.system()} {platform.release().split('-')[0]}"
    parts.append(
        f"\nLast run on {system}, Python {platform.python_version()}, "
        f"SQLite {apsw.sqlite_lib_version()}.\n"
    )
    PAPER.write_text("".join(parts), "utf-8")
    return PAPER.relative_to(TOP).as_posix()


def _detail(row: Tried) -> str:
    wrong = row.wrong[:MOST_WRONG]
    return "; ".join(part.replace("|", "/") for part in (row.note, *wrong) if part)


def _verdict(row: Tried) -> str:
    if row.skipped:
        return "not tried"
    if row.must_lose:
        return "as it must" if row.held else "NO LOSS SEEN"
    return "held" if row.held else "FAILED"
