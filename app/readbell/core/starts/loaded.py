"""The plan a bay goes by, and how far it has come.

A plan is a wish: no act is refused for its sake. What it says about the next start,
and how it goes on when work goes otherwise, is for `core/plan/course.py`; whether a
start is safe from where things really stand is for the next safe start to say, which
goes before it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.starts.events import PlanLoaded

if TYPE_CHECKING:
    from readbell.core.instant import Instant
    from readbell.core.starts.events import StartsEvent


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedPlan:
    """A plan, and how far it has come."""

    loaded: PlanLoaded
    begun: int = 0
    """How many cartridges of its assay were labelled since."""
    last: Instant | None = None
    """When the last of them was."""
    crew: tuple[tuple[int, str], ...] = ()
    """Which operator of the plan is whose key, as far as is known: a number stands for whoever
    begins the first person that the plan as loaded has for it."""

    @property
    def is_done(self) -> bool:
        """Whether everybody of it is begun: it has nothing more to say."""
        return self.begun == len(self.loaded.starts)

    def with_start(self, assay: str, at: Instant, by: str) -> LoadedPlan:
        """Return the plan after a cartridge of `assay` was labelled at `at`, by the operator `by`."""
        if assay != self.loaded.assay or self.is_done:
            return self
        number, crew = self.loaded.starts[self.begun].operator, self.crew
        if all(number != known and by != key for known, key in crew):
            crew = (*crew, (number, by))
        return replace(self, begun=self.begun + 1, last=at, crew=crew)


def plan_after(event: StartsEvent) -> LoadedPlan | None:
    """Return the plan that the bay goes by after `event`."""
    return LoadedPlan(loaded=event) if isinstance(event, PlanLoaded) else None
