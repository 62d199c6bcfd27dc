"""What repeats for ever as a constraint model: moves that share one pair of hands, or one hoist.

Written for tests, from the problem itself and not from the program: it knows nothing
of how the program searches. Whole units of time.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ortools.sat.python import cp_model

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """From the end of one move to the beginning of another, over any number of rounds."""

    first: int
    second: int
    least: int
    most: int | None
    alone: bool = False
    """Whether what stays must be gone before the next comes: a tank holds one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Everything that happens once in each round."""

    takes: Sequence[int]
    """How long each move lasts."""
    travel: Sequence[Sequence[int]]
    """From the end of one move to the beginning of another that comes after it."""
    stays: Sequence[Stay]


def shortest(shop: Shop, *, least: int, most: int) -> int | None:
    """Return the shortest round from `least` to `most`, proven; or None, proven as well."""
    model = cp_model.CpModel()
    period = model.new_int_var(least, most, "period")
    moves = range(len(shop.takes))
    begins = [model.new_int_var(0, most - 1, f"begins {each}") for each in moves]
    model.add(begins[0] == 0)
    for each in moves:
        model.add(begins[each] < period)
    for one in moves:
        for other in range(one + 1, len(shop.takes)):
            after = shop.takes[one] + shop.travel[one][other]
            before = shop.takes[other] + shop.travel[other][one]
            first = model.new_bool_var(f"{one} before {other}")
            model.add(begins[other] >= begins[one] + after).only_enforce_if(first)
            model.add(begins[one] + period >= begins[other] + before).only_enforce_if(first)
            model.add(begins[one] >= begins[other] + before).only_enforce_if(~first)
            model.add(begins[other] + period >= begins[one] + after).only_enforce_if(~first)
    for stay in shop.stays:
        takes = shop.takes[stay.first]
        longest = stay.least + 2 * most if stay.most is None else stay.most
        rounds = range(2 if stay.alone else (longest + takes) // least + 2)
        chosen = [model.new_bool_var(f"{stay.first} to {stay.second}: {each}") for each in rounds]
        model.add_exactly_one(chosen)
        for each, is_it in zip(rounds, chosen, strict=True):
            gap = begins[stay.second] + each * period - begins[stay.first] - takes
            model.add(gap >= stay.least).only_enforce_if(is_it)
            model.add(gap <= longest).only_enforce_if(is_it)
            if stay.alone:
                model.add(gap + takes <= period).only_enforce_if(is_it)
    model.minimize(period)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE), "neither proven nor refuted"
    return solver.value(period) if status == cp_model.OPTIMAL else None
