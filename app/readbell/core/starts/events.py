"""A plan becomes part of the record, so that a restart and a second screen go by the same one."""

from __future__ import annotations

from dataclasses import field

from readbell.core.instant import Instant, Span
from readbell.core.made_later import dataclass
from readbell.core.making import LATER


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedStart:
    """One more person, whoever it is, is to be begun."""

    after: Span
    """After the plan was loaded."""
    operator: int
    """Which of the operators at work, counted from 1."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedBreak:
    """One of the operators of a plan does no work for a while."""

    operator: int
    """As in `PlannedStart`."""
    since: Span
    until: Span
    """Both after the plan was loaded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanLoaded:
    """From here on the bay goes by this plan, and by none before it."""

    at: Instant
    by: str
    """Key of who loaded it."""
    assay: str
    """Content hash."""
    starts: tuple[PlannedStart, ...]
    """In the order of time."""
    ends: Span
    """When the last reading would be done, after the plan was loaded."""
    breaks: tuple[PlannedBreak, ...] = field(default=(), metadata=LATER)
    """What the plan was made with, in the order of time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDropped:
    """The bay goes by no plan any more."""

    at: Instant
    by: str


StartsEvent = PlanLoaded | PlanDropped
