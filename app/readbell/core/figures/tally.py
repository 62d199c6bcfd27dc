"""What cases add up to: counts, and how long things took.

A tally is added to as a record is walked once, and two of them can be joined. One case can be
taken off again, so a tally may also say by how much another is to be changed: then it holds
negative counts.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.figures.case import Came
from readbell.core.instant import MINUTE, SECOND
from readbell.core.made_later import dataclass
from readbell.core.statistics.proportion import wilson
from readbell.core.statistics.spread import Spread

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.figures.case import Case
    from readbell.core.figures.readers import Twice
    from readbell.core.instant import Span
    from readbell.core.statistics.proportion import Share

VALID = (Came.POSITIVE, Came.NEGATIVE)
IN_WINDOW = (*VALID, Came.INVALID)
TESTS = (*IN_WINDOW, Came.LAPSED, Came.WITHHELD)


@dataclass(slots=True)
class WaitTally:
    """One wait of one assay, over many cartridges."""

    took: Spread = field(default_factory=Spread)
    """In whole seconds."""
    kept: int = 0
    idle: int = 0
    """Seconds in all that passed after its least, while the next step might have been done."""

    def join(self, other: WaitTally, times: int = 1) -> None:
        """Add `other` so many `times`."""
        self.took.join(other.took.counts, times)
        self.kept += other.kept * times
        self.idle += other.idle * times

    @property
    def kept_share(self) -> Share:
        """The share that was within its limits, firm and advisory alike."""
        return wilson(self.kept, self.took.count)


@dataclass(slots=True)
class Tally:
    """Counts and lengths of one group of cases."""

    came: Counter[Came] = field(default_factory=Counter)
    repeats: int = 0
    faint: int = 0
    """Positive ones of which the strongest line is faint."""
    early: int = 0
    """Positive ones that an early look had shown, as far as they were timed."""
    could_be_early: int = 0
    """Positive ones that were timed, of an assay that allows an early look."""
    stated: int = 0
    picked: int = 0
    hours: Counter[int] = field(default_factory=Counter)
    """How many were begun in each hour of the day, at the site."""
    twice: Counter[Twice] = field(default_factory=Counter)
    """How many strips two people read, by what each of them said."""
    early_at: Spread = field(default_factory=Spread)
    """Seconds from the application to the first early look that showed something."""
    read_at: Spread = field(default_factory=Spread)
    """Seconds from the application to the reading."""
    window_used: Spread = field(default_factory=Spread)
    """Hundredths of the window that had gone by at the reading."""
    told_after: Spread = field(default_factory=Spread)
    """Minutes from taking the specimen to the result told."""
    waits: dict[tuple[str, str], WaitTally] = field(default_factory=dict)
    """By the id of the assay and the step that begins it."""

    def add(self, case: Case, hour: int, times: int = 1) -> None:
        """Count `case`, begun in this hour of the day, so many `times`; -1 takes it off."""
        positive = case.came is Came.POSITIVE
        self.came[case.came] += times
        self.repeats += case.repeat * times
        self.faint += (case.faint and positive) * times
        self.stated += case.stated * times
        self.picked += case.picked * times
        self.hours[hour] += times
        if case.twice is not None:
            self.twice[case.twice] += times
        self.could_be_early += (case.may_be_early and positive and not case.stated) * times
        if case.early is not None:
            self.early += positive * times
            self.early_at.add(_whole(case.early, SECOND), times)
        if case.read is not None:
            self.read_at.add(_whole(case.read, SECOND), times)
        if case.window_used is not None:
            self.window_used.add(int(case.window_used * 100), times)
        if case.told is not None:
            self.told_after.add(_whole(case.told, MINUTE), times)
        for each in case.waits:
            wait = self._wait((case.assay, each.step))
            wait.took.add(_whole(each.took, SECOND), times)
            wait.kept += each.kept * times
            wait.idle += _whole(each.idle, SECOND) * times

    def join(self, other: Tally, times: int = 1) -> None:
        """Add `other` so many `times`; -1 takes it off."""
        for came, count in other.came.items():
            self.came[came] += count * times
        for hour, count in other.hours.items():
            self.hours[hour] += count * times
        for twice, count in other.twice.items():
            self.twice[twice] += count * times
        self.repeats += other.repeats * times
        self.faint += other.faint * times
        self.early += other.early * times
        self.could_be_early += other.could_be_early * times
        self.stated += other.stated * times
        self.picked += other.picked * times
        for own, theirs in zip(self.spreads(), other.spreads(), strict=True):
            own.join(theirs.counts, times)
        for key, wait in other.waits.items():
            self._wait(key).join(wait, times)

    def spreads(self) -> Iterator[Spread]:
        """Yield the four lengths that every assay has."""
        yield self.early_at
        yield self.read_at
        yield self.window_used
        yield self.told_after

    @property
    def total(self) -> int:
        """How many ended, whatever came of them."""
        return self.came.total()

    @property
    def tests(self) -> int:
        """How many came to an end that counts for the kit: void and withdrawn ones do not."""
        return sum(self.came[each] for each in TESTS)

    @property
    def valid(self) -> int:
        """How many came out positive or negative."""
        return sum(self.came[each] for each in VALID)

    @property
    def in_window(self) -> int:
        """How many were read in their window, and settled by it."""
        return sum(self.came[each] for each in IN_WINDOW)

    @property
    def positivity(self) -> Share:
        """Of the valid ones the share that is positive."""
        return wilson(self.came[Came.POSITIVE], self.valid)

    @property
    def invalid(self) -> Share:
        """Of those that were read in their window the share that showed they had not run."""
        return wilson(self.came[Came.INVALID], self.in_window)

    @property
    def lapsed(self) -> Share:
        """Of all tests the share that nobody read in time."""
        return wilson(self.came[Came.LAPSED], self.tests)

    @property
    def faint_share(self) -> Share:
        """Of the positive ones the share of which no line was more than faint."""
        return wilson(self.faint, self.came[Came.POSITIVE])

    @property
    def waits_kept(self) -> Share:
        """Of all timed waits the share that was within its limits."""
        return wilson(sum(each.kept for each in self.waits.values()), self.waits_timed)

    @property
    def waits_timed(self) -> int:
        """How many waits were timed from beginning to end."""
        return sum(each.took.count for each in self.waits.values())

    @property
    def early_share(self) -> Share:
        """Of the positive ones that an early look might have shown the share that one did."""
        return wilson(self.early, self.could_be_early)

    @property
    def repeat_share(self) -> Share:
        """The share that repeats another."""
        return wilson(self.repeats, self.total)

    @property
    def picked_share(self) -> Share:
        """The share in which something was picked from a list, not scanned or typed."""
        return wilson(self.picked, self.total)

    @property
    def stated_share(self) -> Share:
        """The share with a step that was stated, not timed."""
        return wilson(self.stated, self.total)

    def _wait(self, key: tuple[str, str]) -> WaitTally:
        wait = self.waits.get(key)
        if wait is None:
            wait = self.waits[key] = WaitTally()
        return wait


def _whole(span: Span, unit: Span) -> int:
    return span // unit
