"""Scenarios played by themselves and scored from their journals, as the command does it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.cli.attempts_read import score_attempts
from rehearsal.playing import report_of

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.core.rehearsal.score import Score


def scored_file(file: Path, folder: Path) -> Score:
    """Play the scenario `file`, its journal in `folder`, and return its score."""
    journal = next(
        path for n in range(100) if not (path := folder / f"{file.stem}-{n}.journal").exists()
    )
    report_of(file, journal)
    (found,) = score_attempts([journal], [file])
    return found.score


def scored(text: str, folder: Path) -> Score:
    """Play the scenario that `text` writes, and return its score."""
    file = folder / "scored.toml"
    file.write_text(text, encoding="utf-8")
    return scored_file(file, folder)
