"""A plan becomes part of the record, so that a restart and a second screen go by the same one."""

from __future__ import annotations

from dataclasses import dataclass

from readbell.core.instant import Instant, Span


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedStart:
    """One more person, whoever it is, is to be begun."""

    after: Span
    """After the plan was loaded."""
    operator: int
    """Which of the operators at work, counted from 1."""


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


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDropped:
    """The bay goes by no plan any more."""

    at: Instant
    by: str


StartsEvent = PlanLoaded | PlanDropped
