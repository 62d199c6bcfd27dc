"""What the noted program wrote down."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from benchmarks.past import Bench

NANOSECONDS = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One alert, by the counting clock, in milliseconds."""

    alert: str
    due: int
    told: float
    """When it was on the disk and the board, and everybody heard of it."""


def told_in(notes: Path, bench: Bench) -> list[Told]:
    """Return every alert that the program told."""
    lines = notes.read_text("ascii").splitlines() if notes.exists() else []
    return [
        Told(alert=alert, due=due - bench.ahead, told=line["told"] / NANOSECONDS)
        for line in map(json.loads, lines)
        for alert, due in line["alerts"]
    ]
