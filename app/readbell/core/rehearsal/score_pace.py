"""How long an attempt took beside the best timetable, and how much of it hands were at work."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.instant import Span, between
from readbell.core.made_later import dataclass
from readbell.core.plan.batch.job import Fault, batch_of
from readbell.core.plan.batch.planner import plan
from readbell.core.plan.work import work_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.rehearsal.scenario import Scenario, ScriptedPerson


@dataclass(frozen=True, slots=True, kw_only=True)
class Should:
    """One piece of work as the best plan has it; times after the start."""

    person: str = field(repr=False)
    operator: str = field(repr=False)
    parts: tuple[str, ...]
    """Its steps; of the last one `READING` alone."""
    begins: Span
    first_done: Span
    """When its first step is done, which is when it would be confirmed."""
    ends: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """How an attempt went beside the best plan for the same people, crew and arrivals.

    The plan knows who will come and keeps usual times exactly; nobody at a bench does either, so it
    is a mark to look towards and not one to be held to.
    """

    took: Span
    """From the start to the last act: a step, a reading, a device given up."""
    at_work: Span
    """Usual hands-on time of everything that was done, all operators together."""
    operators: int
    best: Span | None
    """What the best plan takes; None where there is none (several assays, nobody to test)."""
    bound: Span | None
    """What no plan can be below."""
    should: tuple[Should, ...] = ()

    @property
    def idle(self) -> Span:
        """How long hands stood idle, all operators together; what was done faster counts as usual."""
        return Span(max(0, self.took * self.operators - self.at_work))

    @property
    def best_idle(self) -> Span | None:
        """How long they would have by the best plan, with the same work done."""
        if self.best is None:
            return None
        return Span(max(0, self.best * self.operators - self.at_work))

    def is_over(self, times: float) -> bool:
        """Say whether it took more than so many times as long as the best plan."""
        return self.best is not None and self.took > times * self.best

    @property
    def longer(self) -> Span | None:
        """How much longer it took than the best plan; never below nothing."""
        return None if self.best is None else Span(max(0, self.took - self.best))


def pace(
    scenario: Scenario, board: Board, cartridges: Sequence[Cartridge], starts: Instant
) -> Pace:
    """Return how the attempt went."""
    took = Span(max((between(starts, each.last_act) for each in cartridges), default=0))
    operators = max(1, len(scenario.operators))
    at_work = Span(sum(_hands_on(each) for each in cartridges))
    people = [
        each
        for each in sorted(scenario.persons, key=lambda person: person.arrives)
        if scenario.leaves(each.id) is None
    ]
    assays = {each.assay.id: each.assay for each in board.assays.values()}
    best = _best(scenario, people, list(assays.values()), operators)
    if best is None:
        return Pace(took=took, at_work=at_work, operators=operators, best=None, bound=None)
    ends_at, bound, should = best
    return Pace(
        took=took, at_work=at_work, operators=operators, best=ends_at, bound=bound, should=should
    )


def _hands_on(cartridge: Cartridge) -> int:
    steps = [cartridge.assay.step(mark.step) for mark in cartridge.marks]
    done = sum(step.hands_on for step in steps if step is not None)
    readings = sum(each is not None for each in (cartridge.reading, cartridge.second))
    return done + readings * cartridge.assay.reading.hands_on


def _best(
    scenario: Scenario,
    people: Sequence[ScriptedPerson],
    assays: Sequence[Assay],
    operators: int,
) -> tuple[Span, Span, tuple[Should, ...]] | None:
    if len(assays) != 1 or not people or not scenario.operators:
        return None
    work = work_of(assays[0])
    batch = batch_of(work, arrivals=[each.arrives for each in people], operators=operators)
    if isinstance(batch, Fault):
        return None
    found = plan(batch)
    return (
        found.ends,
        found.bound,
        tuple(
            Should(
                person=people[each.person].id,
                operator=scenario.operators[each.operator],
                parts=tuple(part.key for part in work.pieces[each.piece].parts),
                begins=each.begins,
                first_done=Span(each.begins + work.pieces[each.piece].parts[0].hands.usual),
                ends=each.ends,
            )
            for each in found.placed
        ),
    )
