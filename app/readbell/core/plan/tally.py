"""What was counted over many simulated runs of a bay, and what it says."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import SECOND, Span
from readbell.core.made_later import dataclass
from readbell.core.plan.chance import of_clusters
from readbell.core.statistics.proportion import Share, wilson

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """Sums over runs of as many people each; whole numbers, so any order gives the same."""

    runs: int
    people: int
    """In each run."""
    operators: int
    waits: tuple[int, ...]
    """How many people waited at most so many whole seconds, and longer than one less."""
    waited: int
    """All waits together, in milliseconds."""
    delayed: int
    """How many people waited at all."""
    busy: int
    """Hands at work, gloves included, in milliseconds."""
    lasted: int
    """From the start to the last piece of work, over all runs, in milliseconds."""
    late: tuple[int, ...]
    """Windows missed, one count for each window of the assay in the order of its work."""
    missed: int
    """Cartridges that missed a window, or several."""
    missed_squares: int
    """The same of each run, squared."""
    runs_missing: int
    """Runs in which any window was missed."""

    @property
    def all_people(self) -> int:
        """Over all runs."""
        return self.runs * self.people

    @property
    def mean_wait(self) -> float:
        """Milliseconds, over all people."""
        return self.waited / self.all_people if self.runs else 0.0

    @property
    def utilisation(self) -> float:
        """The share of the operators' time at which hands are at work."""
        return self.busy / (self.lasted * self.operators) if self.lasted else 0.0

    @property
    def any_missed(self) -> Share:
        """The chance that a run misses any window; runs are independent."""
        return wilson(self.runs_missing, self.runs)

    @property
    def missed_share(self) -> Share:
        """The chance that a cartridge misses a window."""
        return of_clusters(self.missed, self.missed_squares, self.runs, self.people)

    def wait_of(self, share: float) -> Span:
        """Return what `share` of all people wait at most, in whole seconds rounded up."""
        left = share * self.all_people
        for seconds, people in enumerate(self.waits):
            left -= people
            if left <= 0:
                return Span(seconds * SECOND)
        return Span(max(0, len(self.waits) - 1) * SECOND)

    def waiting_longer(self, seconds: int) -> float:
        """Return the share of people who wait longer than `seconds`."""
        return sum(self.waits[seconds + 1 :]) / self.all_people if self.runs else 0.0

    def plus(self, other: Tally) -> Tally:
        """Return both together; they are of as many people and operators."""
        return Tally(
            runs=self.runs + other.runs,
            people=self.people,
            operators=self.operators,
            waits=_both(self.waits, other.waits),
            waited=self.waited + other.waited,
            delayed=self.delayed + other.delayed,
            busy=self.busy + other.busy,
            lasted=self.lasted + other.lasted,
            late=_both(self.late, other.late),
            missed=self.missed + other.missed,
            missed_squares=self.missed_squares + other.missed_squares,
            runs_missing=self.runs_missing + other.runs_missing,
        )


def _both(one: Sequence[int], other: Sequence[int]) -> tuple[int, ...]:
    longer, shorter = (one, other) if len(one) >= len(other) else (other, one)
    rest = longer[len(shorter) :]
    return (*(a + b for a, b in zip(longer, shorter, strict=False)), *rest)
