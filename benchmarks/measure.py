"""Taking turns: what is compared runs in one run, one after the other, over and over."""

from __future__ import annotations

import sys
import time
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """How much is done, and where."""

    folder: Path
    """On the disk whose speed is meant; emptied afterwards."""
    quick: bool = False
    """A smoke run: everything once, small."""

    def runs(self, usual: int = 5) -> int:
        """Return how many runs a figure gets."""
        return 1 if self.quick else usual

    def size(self, usual: int, quick: int) -> int:
        """Return how large a run is."""
        return quick if self.quick else usual


def now() -> float:
    """Return the running clock in seconds."""
    return time.perf_counter()


def progress(words: str) -> None:
    """Say what is being done."""
    print(f"  {words}", file=sys.stderr, flush=True)


def runs(plan: Plan, what: str, usual: int = 5) -> Iterator[int]:
    """Yield each run by number, and say so."""
    for number in range(1, plan.runs(usual) + 1):
        progress(f"{what}: run {number} of {plan.runs(usual)}")
        yield number


def took(work: Callable[[], object]) -> float:
    """Return the seconds that `work` takes."""
    begins = now()
    work()
    return now() - begins


def milliseconds(*values: float) -> str:
    """Return the median of `values`, which are seconds, as words."""
    return f"{median(values) * 1000:.3g} ms"


def microseconds(*values: float) -> str:
    """Return the median of `values`, which are seconds, as words."""
    return f"{median(values) * 1_000_000:.3g} us"
