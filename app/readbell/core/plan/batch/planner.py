"""The pure plan: the shortest of several timetables, each found in a moment, and its bound."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.plan.batch.bound import lower_bound
from readbell.core.plan.batch.dispatch import Dispatch
from readbell.core.plan.batch.in_turn import in_turn
from readbell.core.plan.batch.manners import manners
from readbell.core.plan.batch.plan import Plan, Rule, ends_of

if TYPE_CHECKING:
    from readbell.core.plan.batch.job import Batch

EFFORT = 1_400
"""People times operators times manners tried: keeps a plan for 80 people under ten milliseconds."""
FEWEST, MOST = 7, 26


def plan(batch: Batch) -> Plan:
    """Return the best timetable that the pure planner finds; it keeps every rule of `batch`."""
    bound = lower_bound(batch)
    best: Dispatch | None = None
    ends = 0
    is_plain = not batch.breaks and batch.arrivals[-1] == 0
    tries = EFFORT // (batch.people * batch.operators)
    for manner in manners(batch, min(MOST, max(FEWEST, tries))):
        may_give_up = best is not None and is_plain
        tried = Dispatch(batch, manner, _latest(batch, bound, ends) if may_give_up else None)
        found = tried.run()
        if found is not None and (best is None or found < ends):
            best, ends = tried, found
            if ends == bound:
                break
    placed, rule = () if best is None else best.timetable(), Rule.DISPATCH
    if best is None or not is_plain:
        other = in_turn(batch)
        if best is None or ends_of(other) < ends:
            placed, rule = other, Rule.IN_TURN
    return Plan(placed=placed, bound=bound, rule=rule, proven=ends_of(placed) == bound)


def _latest(batch: Batch, bound: int, ends: int) -> list[float]:
    """Return until when each person must be begun for a timetable that ends before `ends`.

    Whoever is begun after them still needs as much of the bound as falls to so many. That is
    a guess, and at the worst a manner is given up that would have been a little shorter. It
    leaves out people who come later and operators who are away: nobody is given up for those.
    """
    each = sum(batch.takes) + batch.work.gloves * sum(batch.touches)
    spare = ends - bound
    return [spare + (person + 1) * each / batch.operators for person in range(batch.people)]
