"""Looks for the shortest timetable and for the proof that there is none shorter."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from readbell.core.instant import Span
from readbell.core.plan.batch.plan import Placed, Plan, Rule, ends_of, in_order
from readbell.solver.model import Model

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.core.plan.batch.job import Batch


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How far the search has come."""

    ends: Span
    """The shortest timetable so far."""
    bound: Span
    """No timetable ends sooner."""


class Search:
    """One search; `run` it in a thread, and `stop` it from another to keep the best so far."""

    def __init__(
        self,
        batch: Batch,
        pure: Plan,
        *,
        seconds: float,
        workers: int = 2,
        told: Callable[[Standing], None] | None = None,
    ) -> None:
        """Prepare it.

        Args:
            batch: what is asked for.
            pure: the plan to begin from; what is found is never longer.
            seconds: how long to look, at most.
            workers: threads of the solver.
            told: hears of each better timetable and the bound by then, in the solver's thread.
        """
        self._batch = batch
        self._pure = pure
        self._told = told
        self._solver = cp_model.CpSolver()
        self._solver.parameters.max_time_in_seconds = seconds
        self._solver.parameters.num_workers = workers
        # Ctrl+C is whoever's who runs this thread; the solver would end the program with it.
        self._solver.parameters.catch_sigint_signal = False

    def stop(self) -> None:
        """End the search soon."""
        self._solver.stop_search()

    def run(self) -> Plan:
        """Return the shortest timetable found, proven or with what is left of the bound."""
        pure = self._pure
        if pure.ends == pure.bound:
            return replace(pure, proven=True)
        model = Model(self._batch, pure)
        status = self._solver.solve(model.cp, _Watch(model.unit, pure, self._told))
        bound = max(int(pure.bound), _whole(self._solver.best_objective_bound) * model.unit)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return replace(pure, bound=Span(min(bound, pure.ends)))
        found = _plan_of(model, self._solver)
        proven = status == cp_model.OPTIMAL
        if ends_of(found) >= pure.ends:
            return replace(pure, bound=Span(pure.ends if proven else bound), proven=proven)
        ends = ends_of(found)
        return Plan(
            placed=found, bound=ends if proven else Span(bound), rule=Rule.SOLVER, proven=proven
        )


def prove(batch: Batch, pure: Plan, *, seconds: float, workers: int = 2) -> Plan:
    """Return what a `Search` of so many seconds finds."""
    return Search(batch, pure, seconds=seconds, workers=workers).run()


class _Watch(cp_model.CpSolverSolutionCallback):
    """Passes on what the solver finds."""

    def __init__(self, unit: int, pure: Plan, told: Callable[[Standing], None] | None) -> None:
        super().__init__()
        self._unit = unit
        self._told = told
        self._standing = Standing(ends=pure.ends, bound=pure.bound)

    def on_solution_callback(self) -> None:
        """Hear of a better timetable."""
        # The solver could call back for each better bound as well; in its present version that
        # now and then waits for ever for a solution that is being told at the same moment.
        ends = min(self._standing.ends, round(self.objective_value) * self._unit)
        bound = max(self._standing.bound, _whole(self.best_objective_bound) * self._unit)
        self._standing = Standing(ends=Span(ends), bound=Span(bound))
        if self._told is not None:
            self._told(self._standing)


def _whole(bound: float) -> int:
    """Return a bound of the solver as whole units, rounding errors taken out."""
    return round(bound) if abs(bound - round(bound)) < 1e-6 else -int(-bound // 1)


def _plan_of(model: Model, solver: cp_model.CpSolver) -> tuple[Placed, ...]:
    takes = model.batch.takes
    begins = {key: solver.value(each) * model.unit for key, each in model.begins.items()}
    hands = _shared_out(model, begins) if not model.by else {}
    for (person, piece, operator), own in model.by.items():
        if solver.boolean_value(own):
            hands[person, piece] = operator
    return in_order(
        Placed(
            begins=Span(at),
            operator=hands[person, piece],
            person=person,
            piece=piece,
            ends=Span(at + takes[piece]),
        )
        for (person, piece), at in begins.items()
    )


def _shared_out(model: Model, begins: dict[tuple[int, int], int]) -> dict[tuple[int, int], int]:
    """Give each piece to whoever has been free for the shortest time: never more than there are."""
    free = [0] * model.batch.operators
    hands = {}
    for key, at in sorted(begins.items(), key=lambda each: each[1]):
        operator = max((each for each, end in enumerate(free) if end <= at), key=free.__getitem__)
        hands[key] = operator
        free[operator] = at + model.batch.takes[key[1]]
    return hands
