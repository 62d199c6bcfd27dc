"""A batch as a constraint model: every timetable that keeps the rules, and no other.

Times are counted in the largest unit that divides every figure of the batch. That
loses nothing: once it is settled who does what in which order, the soonest times
are sums and differences of those figures.
"""

from __future__ import annotations

import itertools
from dataclasses import field
from math import gcd
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.plan.batch.job import Batch
    from readbell.core.plan.batch.plan import Plan

Key = tuple[int, int]
"""Person and piece."""


@dataclass(slots=True)
class Model:
    """The model, and the variables a timetable is read from."""

    batch: Batch
    pure: Plan
    """A timetable to begin from and never to be worse than."""
    hints: bool = True
    """Whether that timetable is one of the model's."""
    cp: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    unit: int = 1
    begins: dict[Key, cp_model.IntVar] = field(default_factory=dict)
    by: dict[tuple[int, int, int], cp_model.IntVar] = field(default_factory=dict)
    """Whether a person's piece is an operator's; empty where hands need not be told apart."""
    ends: cp_model.IntVar = field(init=False)

    def __post_init__(self) -> None:
        self.unit = gcd(self.batch.unit, self.pure.ends)
        self._times()
        if self.tells_hands_apart:
            self._hands()
        else:
            self._so_many_at_once()
        if self.hints:
            self._hint()

    @property
    def tells_hands_apart(self) -> bool:
        """Whether it matters whose hands do a piece: for gloves, and for breaks."""
        return self.changes_gloves or bool(self.batch.breaks)

    @property
    def changes_gloves(self) -> bool:
        """Whether a change of gloves ever takes time."""
        return self.batch.work.gloves > 0 and any(self.batch.touches)

    def _in_units(self, milliseconds: int) -> int:
        return milliseconds // self.unit

    def _takes(self, piece: int) -> int:
        return self._in_units(self.batch.takes[piece])

    def _times(self) -> None:
        cp, horizon = self.cp, self._in_units(self.pure.ends)
        self.ends = cp.new_int_var(self._in_units(self.pure.bound), horizon, "ends")
        for person, arrives in enumerate(self.batch.arrivals):
            for piece in range(len(self.batch.takes)):
                earliest = self._in_units(arrives) if piece == 0 else 0
                self.begins[person, piece] = cp.new_int_var(earliest, horizon, "")
            for tie in self.batch.ties:
                since = self.begins[person, tie.first] + self._takes(tie.first)
                until = self.begins[person, tie.second]
                cp.add(until >= since + self._in_units(tie.least))
                if tie.most is not None:
                    cp.add(until <= since + self._in_units(tie.most))
            last = len(self.batch.takes) - 1
            cp.add(self.ends >= self.begins[person, last] + self._takes(last))
        cp.minimize(self.ends)
        self._in_order_of_arrival()

    def _in_order_of_arrival(self) -> None:
        """Leave out timetables that differ only in who is whom.

        Whole persons may change places as long as nobody is begun before arriving. Where no
        gloves are changed single pieces may, too: then all of one kind come in one order.
        """
        pieces = 1 if self.changes_gloves else len(self.batch.takes)
        for person in range(self.batch.people - 1):
            for piece in range(pieces):
                self.cp.add(self.begins[person, piece] <= self.begins[person + 1, piece])

    def _so_many_at_once(self) -> None:
        every = [
            self.cp.new_fixed_size_interval_var(begins, self._takes(piece), "")
            for (_, piece), begins in self.begins.items()
        ]
        if self.batch.operators == 1:
            self.cp.add_no_overlap(every)
        else:
            self.cp.add_cumulative(every, [1] * len(every), self.batch.operators)

    def _hands(self) -> None:
        operators = range(self.batch.operators)
        for key in self.begins:
            for hands in operators:
                self.by[*key, hands] = self.cp.new_bool_var("")
            self.cp.add_exactly_one(self.by[*key, hands] for hands in operators)
        stays = self._stays() if self.changes_gloves else {}
        for hands in operators:
            self._one_pair(hands, stays)
        if self.batch.operators > 1:
            # Says nothing new, but lets the solver see all hands at once.
            self._so_many_at_once()
        if not self.batch.breaks:
            self.cp.add(self.by[0, 0, 0] == 1)

    def _stays(self) -> dict[tuple[int, int, int], cp_model.IntVar]:
        """Return for each touch after a person's first, by hands: no change since the one before."""
        stays = {}
        touch = [piece for piece, yes in enumerate(self.batch.touches) if yes]
        for person in range(self.batch.people):
            for before, after in itertools.pairwise(touch):
                for hands in range(self.batch.operators):
                    stay = self.cp.new_bool_var("")
                    self.cp.add_implication(stay, self.by[person, before, hands])
                    self.cp.add_implication(stay, self.by[person, after, hands])
                    stays[person, after, hands] = stay
        return stays

    def _one_pair(self, hands: int, stays: dict[tuple[int, int, int], cp_model.IntVar]) -> None:
        cp, busy, touching = self.cp, [], []
        first_touch = cp.new_int_var(0, self._in_units(self.pure.ends), "")
        firsts = []
        previous: dict[Key, int] = {}
        touch = [piece for piece, yes in enumerate(self.batch.touches) if yes]
        for before, after in itertools.pairwise(touch):
            previous[0, after] = before
        for (person, piece), begins in self.begins.items():
            own = self.by[person, piece, hands]
            ends = begins + self._takes(piece)
            taken = cp.new_optional_interval_var(begins, self._takes(piece), ends, own, "")
            busy.append(taken)
            if not (self.changes_gloves and self.batch.touches[piece]):
                continue
            touching.append(taken)
            first = cp.new_bool_var("")
            firsts.append(first)
            cp.add_implication(first, own)
            cp.add(begins <= first_touch).only_enforce_if(first)
            cp.add(begins >= first_touch).only_enforce_if(own)
            spared = [first]
            stay = stays.get((person, piece, hands))
            if stay is not None:
                spared.append(stay)
                since = previous[0, piece]
                left = self.begins[person, since] + self._takes(since)
                pause = cp.new_int_var(0, self._in_units(self.pure.ends), "")
                touching.append(cp.new_optional_interval_var(left, pause, begins, stay, ""))
            busy.append(self._change(begins, own, spared))
        if firsts:
            cp.add_at_most_one(firsts)
        for away, back in self.batch.breaks_of(hands):
            length = self._in_units(back - away)
            busy.append(cp.new_fixed_size_interval_var(self._in_units(away), length, ""))
        cp.add_no_overlap(busy)
        if touching:
            cp.add_no_overlap(touching)

    def _change(
        self, begins: cp_model.IntVar, own: cp_model.IntVar, spared: list[cp_model.IntVar]
    ) -> cp_model.IntervalVar:
        """Return the change of gloves right before a touch, there unless it is spared."""
        needed = self.cp.new_bool_var("")
        self.cp.add_implication(needed, own)
        self.cp.add_bool_or([needed, ~own, *spared])
        gloves = self._in_units(self.batch.work.gloves)
        return self.cp.new_optional_interval_var(begins - gloves, gloves, begins, needed, "")

    def _hint(self) -> None:
        """Begin from the pure plan."""
        # The pure plan may give like pieces to persons in another order than this model does.
        placed = {(each.person, each.piece): each for each in self.pure.placed}
        pieces = range(len(self.batch.takes))
        if self.changes_gloves:
            people = sorted(range(self.batch.people), key=lambda one: placed[one, 0].begins)
            ordered = [[placed[person, piece] for piece in pieces] for person in people]
        else:
            columns = [
                sorted(placed[person, piece] for person in range(self.batch.people))
                for piece in pieces
            ]
            ordered = [list(row) for row in zip(*columns, strict=True)]
        for person, row in enumerate(ordered):
            for piece, each in enumerate(row):
                self.cp.add_hint(self.begins[person, piece], self._in_units(each.begins))
                for hands in range(self.batch.operators):
                    if (person, piece, hands) in self.by:
                        self.cp.add_hint(self.by[person, piece, hands], each.operator == hands)
        self.cp.add_hint(self.ends, self._in_units(self.pure.ends))
