"""Looks for the shortest timetable and for the proof that there is none shorter."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from readbell.core.instant import Span
from readbell.core.made_later import dataclass
from readbell.core.plan.batch.check import faults_of
from readbell.core.plan.batch.folded import folded, without_reading
from readbell.core.plan.batch.plan import Placed, Plan, Rule, ends_of, in_order
from readbell.solver.model import Model
from readbell.solver.staying import Staying, everybody_begins_early, figures_of, forced

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.core.plan.batch.folded import Folded
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
        self._best = pure
        self._told = told
        self._workers = workers
        self._left = seconds
        self._stopped = False
        self._is_refuted = False
        self._solver: cp_model.CpSolver | None = None

    def stop(self) -> None:
        """End the search soon."""
        self._stopped = True
        if self._solver is not None:
            self._solver.stop_search()

    def run(self) -> Plan:
        """Return the shortest timetable found, proven or with what is left of the bound."""
        self._raise_bound(self._best.bound)
        stands = folded(self._batch)
        if stands is not None:
            self._bound_of_the_first_part(stands)
            self._look_for_a_plan(stands)
            self._bound_of_staying()
        self._search(self._batch)
        return self._best

    def _bound_of_the_first_part(self, stands: Folded) -> None:
        """Raise the bound by the shortest timetable without readings: "Without the readings"."""
        whole, best = stands.batch, self._best
        reading = len(whole.takes) - 1
        if reading < 2:
            return  # there is no first part that could hold anything up
        tie = next(each for each in whole.ties if each.second == reading == each.first + 1)
        after = tie.least + whole.takes[reading] - stands.shift
        placed = tuple(each for each in stands.placed(best.placed) if each.piece < reading)
        hint = Plan(placed=placed, bound=Span(max(0, best.bound - after)), rule=best.rule)
        model = Model(without_reading(whole), hint)
        found = self._solved(model.cp, model.unit, 0.4)
        if found is not None:
            self._raise_bound(found.bound + after)

    def _look_for_a_plan(self, stands: Folded) -> None:
        """Look among the timetables in which a change comes right before each touch but a first one."""
        best, shift = self._best, stands.shift
        placed = stands.placed(best.placed)
        bound, rule = Span(best.bound + shift), best.rule
        is_one = next(faults_of(stands.batch, placed), None) is None
        model = Model(stands.batch, Plan(placed=placed, bound=bound, rule=rule), hints=is_one)
        found = self._solved(model.cp, model.unit, 0.6, lambda ends, _: self._tell(ends - shift, 0))
        if found is None:
            return
        if found.solver is not None:
            self._keep(stands.unfolded(_plan_of(model, found.solver)))
        if shift == 0:
            self._raise_bound(found.bound)  # there are no others, then

    def _bound_of_staying(self) -> None:
        """Raise the bound by who may read while a swab stands: "Staying, with readings"."""
        known = figures_of(self._batch)
        if known is None:
            return
        best = self._best
        last = best.ends // self._batch.unit - 1 - known.opens - known.reading
        if not forced(known, last) or not everybody_begins_early(known, last):
            return
        model = Staying(self._batch, known, bound=best.bound, below=best.ends)
        found = self._solved(model.cp, model.unit, 0.8)
        # Where nothing at all is shorter, the best is the shortest.
        self._raise_bound(best.ends if self._is_refuted else 0 if found is None else found.bound)

    def _search(self, batch: Batch) -> None:
        """Look among all timetables."""
        model = Model(batch, self._best)
        found = self._solved(model.cp, model.unit, 1.0, self._tell)
        if found is None:
            return
        if found.solver is not None:
            self._keep(_plan_of(model, found.solver))
        self._raise_bound(found.bound)

    def _solved(
        self,
        model: cp_model.CpModel,
        unit: int,
        share: float,
        tell: Callable[[int, int], None] | None = None,
    ) -> _Solved | None:
        """Return what comes of `model` in a share of the time that is left.

        None: there was no time, it is known already what is the shortest, or nothing keeps all
        of the model.
        """
        self._is_refuted = False
        if self._stopped or self._left <= 0 or self._best.proven:
            return None
        self._solver = solver = cp_model.CpSolver()
        solver.parameters.max_time_in_seconds = self._left * share
        solver.parameters.num_workers = self._workers
        # Ctrl+C is whoever's who runs this thread; the solver would end the program with it.
        solver.parameters.catch_sigint_signal = False
        status = solver.solve(model, _Watch(unit, tell))
        self._left -= solver.wall_time
        self._is_refuted = status == cp_model.INFEASIBLE
        if self._is_refuted:
            return None
        has_any = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
        bound = _whole(solver.best_objective_bound) * unit
        return _Solved(solver=solver if has_any else None, bound=bound)

    def _tell(self, ends: int, bound: int) -> None:
        if self._told is not None:
            best = self._best
            self._told(
                Standing(ends=Span(min(best.ends, ends)), bound=Span(max(best.bound, bound)))
            )

    def _keep(self, placed: tuple[Placed, ...]) -> None:
        best = self._best
        if ends_of(placed) < best.ends:
            self._best = Plan(placed=placed, bound=best.bound, rule=Rule.SOLVER)
            self._raise_bound(best.bound)

    def _raise_bound(self, bound: int) -> None:
        best, unit = self._best, self._batch.unit
        # The shortest timetable ends on a whole unit: "Whole units".
        bound = min(best.ends, max(best.bound, -(-bound // unit) * unit))
        self._best = replace(best, bound=Span(bound), proven=bound == best.ends)


def prove(batch: Batch, pure: Plan, *, seconds: float, workers: int = 2) -> Plan:
    """Return what a `Search` of so many seconds finds."""
    return Search(batch, pure, seconds=seconds, workers=workers).run()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Solved:
    """What came of one model; milliseconds of it."""

    solver: cp_model.CpSolver | None
    """Has a timetable; None: none was found."""
    bound: int


class _Watch(cp_model.CpSolverSolutionCallback):
    """Passes on what the solver finds."""

    def __init__(self, unit: int, tell: Callable[[int, int], None] | None) -> None:
        super().__init__()
        self._unit = unit
        self._tell = tell

    def on_solution_callback(self) -> None:
        """Hear of a better timetable."""
        # The solver could call back for each better bound as well; in its present version that
        # now and then waits for ever for a solution that is being told at the same moment.
        if self._tell is not None:
            ends = round(self.objective_value) * self._unit
            self._tell(ends, _whole(self.best_objective_bound) * self._unit)


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
