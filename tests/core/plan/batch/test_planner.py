"""The pure plan keeps every rule, whatever it is asked, and says how close to the bound it is."""

from __future__ import annotations

import random

import pytest

from core.plan.batch.by_hand import chance_batch
from core.plan.kits import within
from core.plan.made_up import coupled, kit, piece, work
from readbell.core.instant import SECOND, Span
from readbell.core.plan.batch.bound import lower_bound
from readbell.core.plan.batch.check import faults_of
from readbell.core.plan.batch.in_turn import in_turn
from readbell.core.plan.batch.job import Batch, Break, Fault, batch_of
from readbell.core.plan.batch.plan import Rule
from readbell.core.plan.batch.planner import plan
from readbell.core.plan.hands_on import READING
from readbell.core.plan.work import Work, work_of

FIRM = work_of(within("2:00"), gloves=Span(0))
GLOVED = work_of(within("2:00"))


def batch(
    of: Work,
    people: int,
    operators: int,
    *,
    breaks: tuple[Break, ...] = (),
    arrivals: tuple[Span, ...] | None = None,
    slack: dict[str, Span] | None = None,
) -> Batch:
    """Return a batch that can be planned."""
    found = batch_of(
        of,
        arrivals=(Span(0),) * people if arrivals is None else arrivals,
        operators=operators,
        breaks=breaks,
        slack=slack,
    )
    assert not isinstance(found, Fault)
    return found


@pytest.mark.parametrize(
    ("people", "ends"), [(1, 1095), (4, 1455), (8, 1995), (12, 2535), (20, 3615), (40, 6315)]
)
def test_one_operator_without_gloves_works_in_pairs(people: int, ends: int) -> None:
    """The optima were proved by the solver without any bound of ours (computed)."""
    found = plan(batch(FIRM, people, 1))

    assert found.ends == ends * SECOND
    assert found.proven
    assert found.gap == 0
    assert found.of_operator(0) == found.placed
    assert found.of_operator(1) == ()


@pytest.mark.parametrize(("people", "ends"), [(4, 1695), (8, 2495), (12, 3295), (20, 4895)])
def test_with_fresh_gloves_one_operator_stays_with_one_person(people: int, ends: int) -> None:
    """Nobody else fits into two minutes, gloves counted; optima of the solver (computed)."""
    found = plan(batch(GLOVED, people, 1))

    assert found.ends == ends * SECOND
    assert found.proven


@pytest.mark.parametrize("of", [FIRM, GLOVED], ids=["bare", "gloves"])
@pytest.mark.parametrize("operators", [1, 2, 3, 4])
def test_a_plan_is_within_a_twentieth_of_the_bound(of: Work, operators: int) -> None:
    """For 4 to 80 people; `benchmarks/` has every number between."""
    for people in (4, 6, 9, 11, 20, 33, 44, 45, 59, 69, 80):
        asked = batch(of, people, operators)
        found = plan(asked)

        assert not list(faults_of(asked, found.placed))
        assert found.ends <= 1.05 * found.bound, people
        assert 0 <= found.gap < 0.05


@pytest.mark.parametrize("seed", range(40))
def test_every_plan_keeps_every_rule(seed: int) -> None:
    """Made-up work, breaks and arrivals, up to six operators."""
    sizes = ((1, 1), (5, 1), (9, 2), (12, 3), (12, 6), (20, 4))
    made_up = chance_batch(seed, sizes)
    chance = random.Random(seed)  # noqa: S311  # made-up breaks
    breaks = []
    for operator in range(made_up.operators):
        begins = chance.randint(0, 60)
        for _ in range(chance.choice((0, 1, 2))):
            ends = begins + chance.randint(1, 40)
            breaks.append(
                Break(operator=operator, begins=Span(begins * SECOND), ends=Span(ends * SECOND))
            )
            begins = ends + chance.randint(1, 30)
    asked = batch(
        made_up.work,
        made_up.people,
        made_up.operators,
        breaks=tuple(breaks),
        arrivals=made_up.arrivals,
    )
    found = plan(asked)

    assert not list(faults_of(asked, found.placed))
    assert not list(faults_of(asked, in_turn(asked)))
    assert found.bound <= found.ends


def test_a_break_is_kept_and_costs_no_more_than_itself() -> None:
    """Ten minutes away, in the middle of the work of one operator."""
    away = Break(operator=0, begins=Span(600 * SECOND), ends=Span(1200 * SECOND))
    asked = batch(FIRM, 20, 1, breaks=(away,))
    found = plan(asked)

    assert not list(faults_of(asked, found.placed))
    assert found.bound >= lower_bound(batch(FIRM, 20, 1))
    assert found.ends <= (3615 + 600 + 270) * SECOND


def test_a_break_of_everybody_holds_the_bound_up() -> None:
    """Nobody works from the start on for an hour, so nothing ends before."""
    away = tuple(
        Break(operator=each, begins=Span(0), ends=Span(3600 * SECOND)) for each in range(2)
    )
    asked = batch(FIRM, 30, 2, breaks=away)

    assert lower_bound(asked) > 3600 * SECOND
    assert not list(faults_of(asked, plan(asked).placed))


def test_nobody_is_begun_before_arriving() -> None:
    """The last to come sets the end, and the bound sees it."""
    arrivals = tuple(Span(each * 150 * SECOND) for each in range(8))
    asked = batch(FIRM, 8, 1, arrivals=arrivals)
    found = plan(asked)

    assert not list(faults_of(asked, found.placed))
    assert [each.begins >= arrivals[each.person] for each in found.starts()] == [True] * 8
    assert found.bound >= arrivals[-1] + 1095 * SECOND


def test_slack_is_kept_in_its_own_window_alone() -> None:
    """A minute before the end of each read window, and twenty seconds of the wait."""
    slack = {READING: Span(60 * SECOND), "extract": Span(20 * SECOND)}
    asked = batch(FIRM, 20, 2, slack=slack)
    found = plan(asked)

    assert not list(faults_of(asked, found.placed, slack))
    assert list(faults_of(asked, found.placed, {READING: Span(285 * SECOND)}))


def test_work_of_one_piece_and_a_reading_is_planned_too() -> None:
    """An assay without a wait before the drops."""
    asked = batch(coupled(60, (300, 330), 30), 6, 2)
    found = plan(asked)

    assert not list(faults_of(asked, found.placed))


def test_work_of_four_pieces_is_planned_too() -> None:
    """Two waits before the reading; no rule is written for two pieces alone."""
    of = work(
        piece("swab", 40, touches=True),
        piece("turn", 10),
        piece("drops", 20, touches=True),
        piece(READING, 15),
        gaps=((0, 1, 30, 90), (1, 2, 30, None), (0, 2, 0, 200), (2, 3, 300, 600)),
        gloves=20,
    )
    for operators in (1, 2, 5):
        asked = batch(of, 9, operators)
        found = plan(asked)

        assert not list(faults_of(asked, found.placed))
        assert found.bound <= found.ends


def test_where_no_manner_fits_each_person_is_placed_in_turn() -> None:
    """Work that allows nothing in between, around a break, goes one after the other."""
    away = Break(operator=0, begins=Span(5 * SECOND), ends=Span(7 * SECOND))
    asked = batch(kit(3, (1, 1), 2, (4, 6), 1), 3, 1, breaks=(away,))
    found = plan(asked)

    assert not list(faults_of(asked, found.placed))
    assert found.rule in (Rule.IN_TURN, Rule.DISPATCH)
