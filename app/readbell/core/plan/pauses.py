"""The breaks that a loaded plan was made with: whose they are, and when.

A plan numbers its operators, for it was made before anybody knew who would be at
work. A number stands for whoever begins the first person that the plan has for it;
who is at work beside them and has no number yet is given one that is left over.
Where nobody is known for a number, its hands have no name.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import later
from readbell.core.made_later import dataclass
from readbell.core.plan.bench import Break

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from readbell.core.instant import Instant
    from readbell.core.starts.events import PlannedBreak
    from readbell.core.starts.loaded import LoadedPlan


@dataclass(frozen=True, slots=True, kw_only=True)
class Pause:
    """One break that is not over yet."""

    number: int
    """Of the operator in the plan."""
    by: str
    """Their key; of a number that nobody is known for, a word that is nobody's key."""
    at: Break

    def is_on(self, now: Instant) -> bool:
        """Say whether they are away at `now`."""
        return self.at.since <= now


def pauses_of(plan: LoadedPlan | None, at_work: Sequence[str], now: Instant) -> tuple[Pause, ...]:
    """Return the breaks of `plan` that end after `now`, in the order of time.

    Args:
        plan: the plan that is loaded, also where everybody of it is begun.
        at_work: the keys of those who did something to what runs.
        now: the instant.
    """
    if plan is None or not plan.loaded.breaks:
        return ()
    whose = _whose(plan, at_work)
    found = (
        Pause(
            number=each.operator,
            by=whose.get(each.operator, f"operator {each.operator}"),
            at=_when(plan, each),
        )
        for each in plan.loaded.breaks
    )
    return tuple(each for each in found if each.at.until > now)


def by_operator(pauses: Sequence[Pause]) -> Mapping[str, tuple[Break, ...]]:
    """Return the breaks by the key of whoever has them."""
    found: dict[str, tuple[Break, ...]] = {}
    for each in pauses:
        found[each.by] = (*found.get(each.by, ()), each.at)
    return found


def _when(plan: LoadedPlan, each: PlannedBreak) -> Break:
    loaded = plan.loaded.at
    return Break(since=later(loaded, each.since), until=later(loaded, each.until))


def _whose(plan: LoadedPlan, at_work: Sequence[str]) -> dict[int, str]:
    known = dict(plan.crew)
    named = {each.operator for each in plan.loaded.starts}
    named |= {each.operator for each in plan.loaded.breaks}
    numbers = sorted(named - known.keys())
    others = [each for each in at_work if each not in known.values()]
    return known | dict(zip(numbers, others, strict=False))
