"""The bound of who may read while a swab stands: never above the shortest, and only where it is proved."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from ortools.sat.python import cp_model

from core.plan.batch.by_hand import shortest
from core.plan.batch.test_planner import FIRM, GLOVED, batch
from core.plan.made_up import kit, piece, work
from readbell.core.instant import SECOND, Span
from readbell.core.plan.batch.job import Batch, Break, Fault, batch_of
from readbell.core.plan.batch.planner import plan
from readbell.core.plan.hands_on import READING
from readbell.solver.model import Model
from readbell.solver.prove import prove
from readbell.solver.staying import Staying, everybody_begins_early, figures_of, forced

if TYPE_CHECKING:
    from readbell.core.plan.work import Work

SMALL = ((2, 1), (3, 1), (2, 2), (3, 2), (4, 2), (4, 1))


def least_of(asked: Batch, below: int) -> int | None:
    """Return what the model comes to, if that is below `below`; None: it refutes all that is."""
    known = figures_of(asked)
    assert known is not None
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    model = Staying(asked, known, bound=Span(0), below=Span(below))
    if solver.solve(model.cp) == cp_model.INFEASIBLE:
        return None
    return round(solver.objective_value) * model.unit


def shortest_of(asked: Batch) -> int:
    """Return when the shortest timetable ends, by the rules alone: nothing is folded or bounded."""
    solver = cp_model.CpSolver()
    model = Model(asked, replace(plan(asked), bound=Span(0)))
    assert solver.solve(model.cp) == cp_model.OPTIMAL
    return round(solver.objective_value) * model.unit


def made_up(seed: int) -> Batch | None:
    """Return a batch in which readings fall due while others are still begun."""
    chance = random.Random(seed)  # noqa: S311  # made-up work, not a secret
    wait, gloves = chance.randint(1, 8), chance.randint(0, 3)
    opens, read = chance.randint(0, 9), chance.randint(1, 4)
    people, operators = chance.choice(SMALL)
    found = batch_of(
        kit(
            chance.randint(1, 6),
            (wait, wait + chance.choice((0, 2, 6))),
            chance.randint(1, 4),
            (opens, opens + read + chance.randint(0, 8)),
            read,
            gloves=gloves,
        ),
        arrivals=[Span(0)] * people,
        operators=operators,
    )
    return None if isinstance(found, Fault) or gloves > wait else found


@pytest.mark.parametrize("seed", range(40))
def test_it_is_never_above_the_shortest_timetable(seed: int) -> None:
    """By the rules as they stand, on made-up batches; by every order where there are few."""
    asked = made_up(seed)
    if asked is None:
        return
    known = figures_of(asked)
    assert known is not None
    best = shortest_of(asked)
    if asked.people * asked.operators < 4:
        assert shortest(asked) == best
    if everybody_begins_early(known, best // asked.unit - known.opens - known.reading):
        found = least_of(asked, best + asked.unit)
        assert found is not None
        assert found <= best


def test_readings_that_fall_due_early_raise_the_bound() -> None:
    """18 people and two operators: without readings 2385 s, with them 2390 (the whole search)."""
    asked = batch(GLOVED, 18, 2)
    found = prove(asked, plan(asked), seconds=60)

    assert found.proven
    assert found.ends == 2390 * SECOND


@pytest.mark.parametrize("people", [4, 12])
def test_where_nobody_must_be_read_early_none_is_counted(people: int) -> None:
    """The bound without readings says as much then."""
    known = figures_of(batch(GLOVED, people, 2))
    assert known is not None
    ends = plan(batch(GLOVED, people, 2)).ends // batch(GLOVED, people, 2).unit

    assert forced(known, ends - known.opens - known.reading) == 0
    assert forced(known, 10 * ends) == people


TWO = kit(4, (5, 9), 2, (9, 20), 1, gloves=3)


@pytest.mark.parametrize(
    "of",
    [
        pytest.param(kit(4, (1, 2), 2, (9, 20), 1, gloves=3), id="wait shorter than a change"),
        pytest.param(kit(4, (5, None), 2, (9, 20), 1, gloves=3), id="no end of the wait"),
        pytest.param(kit(4, (5, 9), 2, (9, None), 1, gloves=3), id="no end of the window"),
        pytest.param(
            work(piece("one", 4, touches=True), piece(READING, 1), gaps=((0, 1, 5, 9),)),
            id="two pieces",
        ),
        pytest.param(
            work(
                piece("one", 4, touches=True),
                piece("two", 2, touches=True),
                piece(READING, 1),
                gaps=((0, 1, 5, 9), (0, 2, 9, 40), (1, 2, 9, 20)),
            ),
            id="a limit more",
        ),
    ],
)
def test_where_a_condition_does_not_hold_there_are_no_figures(of: Work) -> None:
    """The argument does not speak of it."""
    assert figures_of(batch(of, 3, 2)) is None
    assert figures_of(batch(TWO, 3, 2)) is not None


def test_breaks_and_later_arrivals_are_not_spoken_of_either() -> None:
    """Hands, or people, are not alike then; and without gloves nobody asks who touches what."""
    away = Break(operator=0, begins=Span(SECOND), ends=Span(2 * SECOND))
    late = (Span(0), Span(0), Span(SECOND))

    assert figures_of(batch(TWO, 3, 2, breaks=(away,))) is None
    assert figures_of(batch(TWO, 3, 2, arrivals=late)) is None
    assert figures_of(batch(FIRM, 3, 2)) is not None


def test_who_might_read_before_touching_anybody_is_not_spoken_of() -> None:
    """One person and two operators: the second may do nothing but the reading."""
    known = figures_of(batch(GLOVED, 1, 2))
    many = figures_of(batch(GLOVED, 20, 2))
    assert known is not None
    assert many is not None

    assert not everybody_begins_early(known, 330)
    assert everybody_begins_early(many, 330)


def test_with_nothing_below_what_is_known_the_model_says_so() -> None:
    """That is the proof."""
    asked = batch(TWO, 3, 1)
    best = prove(asked, plan(asked), seconds=20)

    assert best.proven
    found = least_of(asked, best.ends)
    assert found is None or found < best.ends
