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
    tries = EFFORT // (batch.people * batch.operators)
    for manner in manners(batch, min(MOST, max(FEWEST, tries))):
        tried = Dispatch(batch, manner)
        found = tried.run()
        if found is not None and (best is None or found < ends):
            best, ends = tried, found
            if ends == bound:
                break
    placed, rule = () if best is None else best.timetable(), Rule.DISPATCH
    if best is None or batch.breaks or batch.arrivals[-1] > 0:
        other = in_turn(batch)
        if best is None or ends_of(other) < ends:
            placed, rule = other, Rule.IN_TURN
    return Plan(placed=placed, bound=bound, rule=rule, proven=ends_of(placed) == bound)
