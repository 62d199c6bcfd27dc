"""A bay goes by a loaded plan: it counts who is begun; what it then says is the course's matter."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import NASAL, Bench, at, private, span
from readbell.core.board.acts import RegisterPerson
from readbell.core.refusal import RefusalCode
from readbell.core.starts.acts import DropPlan, LoadPlan
from readbell.core.starts.events import PlanLoaded, PlannedBreak, PlannedStart


def plan_of(*starts: str, by: str = "op-1", assay: str = NASAL.id, ends: str = "40:00") -> LoadPlan:
    """Return the act that loads starts by operators 1, 2, 1, ..."""
    return LoadPlan(
        by=by,
        assay=assay,
        starts=tuple(
            PlannedStart(after=span(each), operator=1 + place % 2)
            for place, each in enumerate(starts)
        ),
        ends=span(ends),
    )


def with_break(operator: int, since: str, until: str) -> LoadPlan:
    """Return the act that loads two starts and one break."""
    away = PlannedBreak(operator=operator, since=span(since), until=span(until))
    return replace(plan_of("0:00", "2:00"), breaks=(away,))


def test_without_a_plan_nothing_is_counted() -> None:
    """The next safe start stands alone then."""
    assert Bench().board.plan is None


def test_a_plan_counts_who_is_begun_and_when_the_last_was() -> None:
    """Nobody is named by it: whoever comes next is the next."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00"), "1:00")
    plan = bench.board.plan
    assert plan is not None
    assert (plan.begun, plan.last, plan.is_done) == (0, None, False)

    bench.must(bench.label_act("C1"), "1:10")
    bench.must(bench.label_act("C2", person="P-002"), "3:30")
    plan = bench.board.plan
    assert plan is not None
    assert (plan.begun, plan.last, plan.is_done) == (2, at("3:30"), True)


def test_one_more_than_planned_is_nobody_of_the_plan() -> None:
    """It was done before."""
    bench = Bench()
    bench.must(plan_of("0:00"))
    bench.must(bench.label_act("C1"))
    before = bench.board.plan
    bench.must(bench.label_act("C2", person="P-002"), "1:00")

    assert bench.board.plan is before


def test_a_plan_counts_cartridges_of_its_own_assay_alone() -> None:
    """Another assay beside it takes nobody's turn."""
    bench = Bench()
    bench.must(plan_of("0:00"))
    plan = bench.board.plan
    assert plan is not None

    assert plan.with_start("another", at("0:00"), "key-op-1") is plan


def test_a_new_plan_takes_the_place_of_the_old_one_and_can_be_dropped() -> None:
    """There is one plan, or none."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00"))
    bench.must(plan_of("5:00"), "1:00")

    plan = bench.board.plan
    assert plan is not None
    assert (plan.loaded.at, len(plan.loaded.starts)) == (at("1:00"), 1)
    bench.must(DropPlan(by="op-1"), "2:00")
    assert bench.board.plan is None


@pytest.mark.parametrize(
    ("act", "code"),
    [
        (plan_of("0:00", by="op-9"), RefusalCode.UNKNOWN_OPERATOR),
        (plan_of("0:00", assay="another"), RefusalCode.NOT_ADOPTED),
        (plan_of(), RefusalCode.NOT_ALLOWED),
        (plan_of("2:00", "1:00"), RefusalCode.NOT_ALLOWED),
        (plan_of("2:00", ends="1:00"), RefusalCode.NOT_ALLOWED),
        (with_break(0, "1:00", "2:00"), RefusalCode.NOT_ALLOWED),
        (with_break(1, "2:00", "2:00"), RefusalCode.NOT_ALLOWED),
        (DropPlan(by="op-1"), RefusalCode.NOT_ALLOWED),
        (DropPlan(by="op-9"), RefusalCode.UNKNOWN_OPERATOR),
    ],
)
def test_what_makes_no_sense_is_refused(act: LoadPlan | DropPlan, code: RefusalCode) -> None:
    """Nothing on the board changes."""
    assert Bench().refused(act).code is code


def test_no_act_is_refused_for_the_sake_of_a_plan() -> None:
    """It advises: whoever begins somebody long before their time may."""
    bench = Bench()
    bench.must(plan_of("30:00", "35:00"))
    bench.must(RegisterPerson(by="op-1", person=private("P-003")))

    bench.must(bench.label_act("C1"))
    bench.must(bench.label_act("C2", person="P-003"), "0:05")


def test_the_breaks_that_a_plan_was_made_with_are_loaded_with_it() -> None:
    """So that nobody has to tell them twice."""
    bench = Bench()
    (event,) = bench.must(with_break(2, "10:00", "15:00"))

    assert isinstance(event, PlanLoaded)
    assert event.breaks == (PlannedBreak(operator=2, since=span("10:00"), until=span("15:00")),)


def test_a_number_of_the_plan_stands_for_whoever_begins_its_first_person() -> None:
    """And for nobody else afterwards; who has a number gets no second one."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00", "4:00", "6:00"))
    plan = bench.board.plan
    assert plan is not None
    assert plan.crew == ()

    for by, crew in (
        ("a", ((1, "a"),)),
        ("a", ((1, "a"),)),
        ("b", ((1, "a"),)),
        ("b", ((1, "a"), (2, "b"))),
    ):
        plan = plan.with_start(plan.loaded.assay, at("0:00"), by)
        assert plan.crew == crew
