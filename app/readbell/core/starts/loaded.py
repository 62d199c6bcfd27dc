"""The plan a bay goes by, and what it says about the next start.

A plan is a wish: no act is refused for its sake. When work falls behind, all that is
left of the plan moves by as much, in the order it has; it never makes up for lost
time, as its gaps are what keeps the windows. Whether a start is safe from where
things really stand is for the next safe start to say, which goes before it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from readbell.core.instant import Instant, Span, between, later
from readbell.core.starts.events import PlanLoaded

if TYPE_CHECKING:
    from readbell.core.starts.events import StartsEvent


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedPlan:
    """A plan, and how far it has come."""

    loaded: PlanLoaded
    begun: int = 0
    """How many cartridges of its assay were labelled since."""
    behind: Span = Span(0)
    """How much later than planned the last of them was."""

    def with_start(self, assay: str, at: Instant) -> LoadedPlan:
        """Return the plan after a cartridge of `assay` was labelled at `at`."""
        if assay != self.loaded.assay or self.begun == len(self.loaded.starts):
            return self
        planned = later(self.loaded.at, self.loaded.starts[self.begun].after)
        behind = Span(max(self.behind, between(planned, at), 0))
        return replace(self, begun=self.begun + 1, behind=behind)


def plan_after(event: StartsEvent) -> LoadedPlan | None:
    """Return the plan that the bay goes by after `event`."""
    return LoadedPlan(loaded=event) if isinstance(event, PlanLoaded) else None


@dataclass(frozen=True, slots=True, kw_only=True)
class NextPlanned:
    """The next start of a plan."""

    number: int
    """Counted from 1."""
    of: int
    operator: int
    """Counted from 1."""
    at: Instant
    """When it is to be, the rest of the plan moved by what was lost."""
    behind: Span
    """By how much it was moved."""
    ends: Instant
    """When the last reading would be done."""


def next_planned(plan: LoadedPlan | None, now: Instant) -> NextPlanned | None:
    """Return what `plan` says about the next start; None without one, or when all are begun.

    A start that is overdue moves the rest with it, so its instant is never past.
    """
    if plan is None or plan.begun == len(plan.loaded.starts):
        return None
    start = plan.loaded.starts[plan.begun]
    planned = later(plan.loaded.at, start.after)
    behind = Span(max(plan.behind, between(planned, now), 0))
    return NextPlanned(
        number=plan.begun + 1,
        of=len(plan.loaded.starts),
        operator=start.operator,
        at=later(planned, behind),
        behind=behind,
        ends=later(later(plan.loaded.at, plan.loaded.ends), behind),
    )
