"""The proof of a batch against brute force and against a table of coupled tasks.

The table is of identical coupled tasks with an exact gap, one operator; its optima were
computed by exhaustive search over whole seconds, apart from this program.
"""

from __future__ import annotations

import os
import random
from dataclasses import replace

import pytest

from core.plan.batch.by_hand import chance_batch, shortest
from core.plan.made_up import coupled
from readbell.core.instant import SECOND, Span
from readbell.core.plan.batch.bound import lower_bound
from readbell.core.plan.batch.check import faults_of
from readbell.core.plan.batch.job import Batch, Break, batch_of
from readbell.core.plan.batch.plan import Plan, Rule, ends_of
from readbell.core.plan.batch.planner import plan
from readbell.solver.prove import prove

MADE_UP = int(os.environ.get("READBELL_BATCHES", "60"))
"""Made-up batches tried; thousands of a night, as many as fit into a test here."""
SMALL = ((1, 1), (2, 1), (3, 1), (2, 2))


def with_breaks(batch: Batch, seed: int) -> Batch:
    """Return the batch with a break for some of its operators, for every second seed."""
    chance = random.Random(seed)  # noqa: S311  # made-up breaks
    breaks = []
    for operator in range(batch.operators):
        begins, length = chance.randint(0, 30), chance.randint(1, 30)
        if seed % 2 and chance.random() < 0.7:
            away = (Span(begins * SECOND), Span((begins + length) * SECOND))
            breaks.append(Break(operator=operator, begins=away[0], ends=away[1]))
    return replace(batch, breaks=tuple(breaks))


def asked(people: int, first: int, gap: int, second: int) -> Batch:
    """Return a batch of identical coupled tasks."""
    found = batch_of(coupled(first, (gap, gap), second), arrivals=[Span(0)] * people, operators=1)
    assert isinstance(found, Batch)
    return found


@pytest.mark.parametrize(
    ("first", "gap", "second", "people", "ends"),
    [
        (1, 2, 1, 2, 5),
        (1, 2, 1, 3, 6),
        (1, 2, 1, 4, 10),
        (1, 2, 1, 6, 12),
        (2, 1, 2, 2, 10),
        (2, 4, 2, 4, 20),
        (2, 4, 1, 4, 17),
        (2, 5, 2, 5, 24),
        (2, 14, 1, 8, 31),
        (1, 15, 1, 12, 28),
    ],
)
def test_coupled_tasks_take_as_long_as_the_table_says(
    first: int, gap: int, second: int, people: int, ends: int
) -> None:
    """Where greedy blocks of three and one take 18, the best of (2, 4, 1) for four takes 17."""
    batch = asked(people, first, gap, second)
    found = prove(batch, plan(batch), seconds=20)

    assert found.proven
    assert found.ends == ends * SECOND
    assert not list(faults_of(batch, found.placed))


@pytest.mark.parametrize("seed", range(MADE_UP))
def test_the_proof_the_bound_and_the_plan_agree_with_brute_force(seed: int) -> None:
    """No timetable is below the bound, none below the proof, and the proof is one of them."""
    batch = chance_batch(seed, SMALL)
    best = shortest(batch)
    pure = plan(batch)
    found = prove(batch, pure, seconds=20)

    assert best is not None
    assert lower_bound(batch) <= best
    assert found.proven
    assert found.ends == best <= pure.ends
    assert not list(faults_of(batch, pure.placed))
    assert not list(faults_of(batch, found.placed))


@pytest.mark.parametrize("seed", range(MADE_UP // 2))
def test_the_bound_is_never_above_what_can_be_proved(seed: int) -> None:
    """With more people than brute force can try; the solver is told of no bound."""
    batch = with_breaks(
        chance_batch(seed + 100_000, ((4, 1), (5, 2), (6, 3), (7, 2), (4, 3))), seed
    )
    pure = plan(batch)
    untold = replace(pure, bound=Span(0), proven=False)
    found = prove(batch, untold, seconds=20)

    assert pure.bound <= found.ends <= pure.ends
    assert not list(faults_of(batch, found.placed))


def test_brute_force_finds_the_interleaving() -> None:
    """The judge itself: two tasks of 1, 2, 1 take 5 seconds, not 8."""
    assert shortest(asked(2, 1, 2, 1)) == 5 * SECOND


def test_a_plan_that_is_given_away_as_proven_ends_where_its_bound_is() -> None:
    """The pure planner says proven only where its bound says so."""
    batch = asked(3, 1, 2, 1)
    found = plan(batch)

    assert found.proven == (found.ends == found.bound)
    assert isinstance(found, Plan)
    assert found.rule in Rule
    assert ends_of(found.placed) == found.ends
