"""How long the first part of a batch takes at the least if some readings must come before its end.

The argument "Staying, with readings" of docs/planning.md: who stays with a person through
the wait needs no change of gloves and may read meanwhile. Nothing is said about which
hands do what, so what this comes to is a bound, and no timetable.
"""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING, NamedTuple

from ortools.sat.python import cp_model

if TYPE_CHECKING:
    from readbell.core.instant import Span
    from readbell.core.plan.batch.job import Batch

NEIGHBOURS = 3
"""Of two whose readings are further apart than this the order is left open: it is seldom in doubt."""


class Figures(NamedTuple):
    """The figures of a batch of three pieces, in units of the batch."""

    first: int
    second: int
    reading: int
    least: int
    most: int
    opens: int
    closes: int
    gloves: int
    people: int
    operators: int

    @property
    def soonest_reading(self) -> int:
        """When the first reading can begin."""
        return self.first + self.least + self.second + self.opens


def figures_of(batch: Batch) -> Figures | None:
    """Return the figures, or None where the argument does not speak of such a batch.

    It asks for three pieces, of which the last alone touches nothing; an end of the wait and
    of the read window, and no other limit; a wait that is no shorter than a change of gloves;
    everybody there from the start; and nobody with a break.
    """
    if batch.breaks or batch.arrivals[-1] > 0 or batch.touches != (True, True, False):
        return None
    ends = {(tie.first, tie.second): tie for tie in batch.ties}
    if set(ends) != {(0, 1), (1, 2)}:
        return None
    wait, window = ends[0, 1], ends[1, 2]
    if wait.most is None or window.most is None or wait.least < batch.work.gloves:
        return None
    unit = batch.unit
    first, second, reading = (each // unit for each in batch.takes)
    return Figures(
        first=first,
        second=second,
        reading=reading,
        least=wait.least // unit,
        most=wait.most // unit,
        opens=window.least // unit,
        closes=window.most // unit,
        gloves=batch.work.gloves // unit,
        people=batch.people,
        operators=batch.operators,
    )


def forced(known: Figures, until: int) -> int:
    """Return how many may have to be read before `until`, the end of the first part; 0: none must."""
    last = until - known.closes - known.reading - known.second - known.least - known.first
    if last < 0:
        return 0
    rounds = last // (known.first + known.gloves) + 1
    return min(known.people, rounds * known.operators)


def everybody_begins_early(known: Figures, until: int) -> bool:
    """Say whether each operator must touch somebody before anything can be read.

    If one did not, the others could not do all the rest by `until`: "Who reads first".
    """
    work = known.people * (known.first + known.second + 2 * known.gloves)
    late = until - known.soonest_reading + known.gloves
    return work > (known.operators - 1) * (until + known.gloves) + max(0, late)


class Staying:
    """The model. Its end is the end of the last reading, as it follows from that of the first part."""

    def __init__(self, batch: Batch, known: Figures, *, bound: Span, below: Span) -> None:
        """Prepare it.

        Args:
            batch: what is asked for.
            known: its figures.
            bound: no timetable is shorter.
            below: what is looked for ends before this.
        """
        self.cp = cp_model.CpModel()
        self.unit = batch.unit
        self._known = known
        self._after = known.opens + known.reading
        self._horizon = -(-below // self.unit) - 1 - self._after
        self._begins = [self._instant() for _ in range(known.people)]
        self._second = [self._instant() for _ in range(known.people)]
        self._stays = [self.cp.new_bool_var("") for _ in range(known.people)]
        least = min(self._horizon, max(0, bound // self.unit - self._after))
        ends = self.cp.new_int_var(least, self._horizon, "ends")
        self._touch: list[cp_model.IntervalVar] = []
        self._folded: list[cp_model.IntervalVar] = []
        self._busy: list[cp_model.IntervalVar] = []
        for person in range(known.people):
            self._pieces(person)
            self.cp.add(ends >= self._second[person] + known.second)
        self._in_order()
        self._readings(forced(known, self._horizon))
        for each in (self._touch, self._folded, self._busy):
            self.cp.add_cumulative(each, [1] * len(each), known.operators)
        self.cp.minimize(ends + self._after)

    def _instant(self) -> cp_model.IntVar:
        return self.cp.new_int_var(0, self._horizon, "")

    def _interval(
        self, begins: cp_model.LinearExprT, takes: int, ends: cp_model.LinearExprT
    ) -> cp_model.IntervalVar:
        return self.cp.new_interval_var(begins, takes, ends, "")

    def _pieces(self, person: int) -> None:
        cp, known, gloves = self.cp, self._known, self._known.gloves
        first, second, stays = self._begins[person], self._second[person], self._stays[person]
        ended = first + known.first
        wait = cp.new_int_var(known.least, known.most, "")
        cp.add(second == ended + wait)
        swab = self._interval(first - gloves, gloves + known.first, ended)
        drops = self._interval(second, known.second, second + known.second)
        change = cp.new_optional_interval_var(second - gloves, gloves, second, ~stays, "")
        beside = cp.new_optional_interval_var(ended, wait, second, stays, "")
        self._touch += [swab, drops, change, beside]
        self._busy += [swab, drops, change]
        both = self._interval(second - gloves, gloves + known.second, second + known.second)
        self._folded += [swab, both]

    def _in_order(self) -> None:
        """Leave out what differs only in who is whom."""
        known = self._known
        for one, other in combinations(range(known.people), 2):
            if other == one + 1:
                self.cp.add(self._begins[one] <= self._begins[other])
            rounds = (other - one) // known.operators
            if rounds * (known.first + known.gloves) > known.most - known.least:
                continue  # so far apart second touches cannot cross
            neither = [~self._stays[one], ~self._stays[other]]
            self.cp.add(self._second[one] <= self._second[other]).only_enforce_if(neither)

    def _readings(self, people: int) -> None:
        known, cp, reads = self._known, self.cp, []
        for person in range(people):
            ended = self._second[person] + known.second
            read = cp.new_int_var(0, self._horizon + self._after, "")
            cp.add(read >= ended + known.opens)
            cp.add(read <= ended + known.closes)
            self._busy.append(self._interval(read, known.reading, read + known.reading))
            reads.append(read)
        for one, other in combinations(range(people), 2):
            if other - one <= NEIGHBOURS:
                before = cp.new_bool_var("")
                for each in (self._second, reads):
                    cp.add(each[one] <= each[other]).only_enforce_if(before)
                    cp.add(each[one] >= each[other]).only_enforce_if(~before)
