"""A batch plan: who does which piece of work on whom, from when to when."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.core.instant import Span


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Placed:
    """One piece of work with its place in the timetable; times after the start of the batch."""

    begins: Span
    operator: int
    """Counted from 0."""
    person: int
    """Place in the batch's arrivals."""
    piece: int
    """Place in the work's pieces."""
    ends: Span


class Rule(StrEnum):
    """How a plan was found."""

    DISPATCH = "best-of-dispatch-rules"
    """The shortest of several timetables, each made hand by hand."""
    IN_TURN = "first-free-place"
    """Each person in turn gets the first places where the whole of the work fits."""
    SOLVER = "constraint-solver"


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A timetable and what is known about it."""

    placed: tuple[Placed, ...]
    """In the order of time."""
    bound: Span
    """No timetable ends sooner."""
    rule: Rule
    proven: bool = False
    """Whether it was shown that no timetable is shorter."""

    @property
    def ends(self) -> Span:
        """When the last reading is done, counted from the start of the batch."""
        return ends_of(self.placed)

    @property
    def gap(self) -> float:
        """How much shorter a timetable might still be, as a share of this one; 0 if proven."""
        return 0.0 if self.proven else (self.ends - self.bound) / self.ends

    def of_operator(self, operator: int) -> tuple[Placed, ...]:
        """Return what `operator` does, in the order of time."""
        return tuple(each for each in self.placed if each.operator == operator)

    def starts(self) -> tuple[Placed, ...]:
        """Return the first piece of each person, in the order of time."""
        return tuple(each for each in self.placed if each.piece == 0)


def ends_of(placed: Iterable[Placed]) -> Span:
    """Return when the last of `placed` is done."""
    return max(each.ends for each in placed)


def in_order(placed: Iterable[Placed]) -> tuple[Placed, ...]:
    """Return `placed` in the order of time, and at one instant by operator."""
    return tuple(sorted(placed))
