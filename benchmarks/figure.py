"""One figure of the speed table: what was measured, what was to be reached, and how far apart runs lay."""

from __future__ import annotations

from dataclasses import dataclass, field
from statistics import median
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One line of the table."""

    row: str
    """Its name in the table, such as A1."""
    what: str
    samples: Sequence[float]
    """One for each run; a ratio is taken inside a run, never between medians of two."""
    reach: float
    unit: str = "x"
    at_least: bool = False
    """Whether more is better."""
    how: str
    beside: Mapping[str, str] = field(default_factory=dict)
    """What the ratio was made of, on this machine."""
    bound: str
    """What the figure is bound by, from a profile."""

    @property
    def value(self) -> float:
        """The median of the runs."""
        return median(self.samples)

    @property
    def met(self) -> bool:
        """Whether the reach was reached."""
        return self.value >= self.reach if self.at_least else self.value <= self.reach

    @property
    def said(self) -> str:
        """The value as people read it."""
        return f"{_short(self.value)} {self.unit}"

    @property
    def to_reach(self) -> str:
        """What was asked for."""
        return f"{'at least' if self.at_least else 'at most'} {self.reach:g} {self.unit}"

    @property
    def spread(self) -> str:
        """From the least to the most of the runs, and how many there were."""
        return (
            f"{_short(min(self.samples))} to {_short(max(self.samples))} ({len(self.samples)} runs)"
        )


def _short(value: float) -> str:
    return (
        f"{value:,.0f}" if abs(value) >= 100 else f"{value:.1f}" if value >= 10 else f"{value:.2f}"
    )
