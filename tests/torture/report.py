"""What was tried and what was lost: on the screen as it goes, and in docs/torture.md."""

from __future__ import annotations

import platform
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import apsw

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from torture.trial import Trial, Tried

TOP = Path(__file__).parents[2]
PAPER = TOP / "docs" / "torture.md"
MOST_WRONG = 5

HEAD = """\
# Torture: what was tried, and what was lost

Written by `make torture`; the trials are in `tests/torture/trials`, and a short
version of each runs with the tests. "lost" counts acknowledged things that were
gone, or rules broken; it must be 0, except in a control, where a loss must show:
without it the trial beside it would prove nothing. A trial that is not run again
keeps what it came to when it was.
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


def write_paper(trials: Sequence[Trial], found: Mapping[str, Sequence[Tried]], seed: int) -> str:
    """Write what was found into the paper; return its name.

    Args:
        trials: every trial there is, in its order.
        found: by name, the rows of those that were run now. What the paper says of the
            others stays as it is.
        seed: of the trials that were run now.
    """
    before = _parts(PAPER.read_text("utf-8")) if PAPER.exists() else {}
    parts = [HEAD]
    for trial in trials:
        if trial.name in found:
            parts.append(f"## {trial.title}\n\n{_part(found[trial.name], seed)}")
        else:
            parts.append(f"## {trial.title}\n\n{before.get(trial.title, 'Not tried yet.')}\n")
    PAPER.write_text("\n".join(parts), "utf-8")
    return PAPER.relative_to(TOP).as_posix()


def _parts(paper: str) -> dict[str, str]:
    """Return what stands under each title of the paper."""
    found = (part.partition("\n") for part in paper.split("\n## ")[1:])
    return {title: text.strip() for title, _, text in found}


def _part(rows: Sequence[Tried], seed: int) -> str:
    day = datetime.now(UTC).date().isoformat()  # noqa: TID251  # of a paper, no clock of a bay
    system = f"{platform.system()} {platform.release().split('-')[0]}"
    versions = f"Python {platform.python_version()}, SQLite {apsw.sqlite_lib_version()}"
    lines = [
        f"Seed {seed}. {day}, {system}, {versions}.",
        "",
        "| tried | times | lost | came out | in detail |",
        "|---|---:|---:|---|---|",
        *(
            f"| {row.what} | {row.times:,} | {row.lost:,} | {_verdict(row)} | {_detail(row)} |"
            for row in rows
        ),
    ]
    return "\n".join(lines) + "\n"


def _detail(row: Tried) -> str:
    wrong = row.wrong[:MOST_WRONG]
    return "; ".join(part.replace("|", "/") for part in (row.note, *wrong) if part)


def _verdict(row: Tried) -> str:
    if row.skipped:
        return "not tried"
    if row.must_lose:
        return "as it must" if row.held else "NO LOSS SEEN"
    return "held" if row.held else "FAILED"
