"""A bay goes by a loaded plan: it says who is next, and moves when work falls behind."""

from __future__ import annotations

import pytest

from builders import NASAL, Bench, at, private, span
from readbell.core.board.acts import RegisterPerson
from readbell.core.instant import Span
from readbell.core.refusal import RefusalCode
from readbell.core.starts.acts import DropPlan, LoadPlan
from readbell.core.starts.events import PlannedStart
from readbell.core.starts.loaded import NextPlanned, next_planned


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


def guide(bench: Bench, now: str) -> NextPlanned | None:
    """Return what the plan of the bench says at `now`."""
    return next_planned(bench.board.plan, at(now))


def test_without_a_plan_nothing_is_said() -> None:
    """The next safe start stands alone then."""
    assert guide(Bench(), "0:00") is None


def test_the_plan_names_the_next_start_and_whose_it_is() -> None:
    """Nobody is named by it: whoever comes next is the next."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00", "5:00"), "1:00")

    assert guide(bench, "1:00") == NextPlanned(
        number=1, of=3, operator=1, at=at("1:00"), behind=Span(0), ends=at("41:00")
    )
    bench.must(bench.label_act("C1"), "1:00")
    assert guide(bench, "2:00") == NextPlanned(
        number=2, of=3, operator=2, at=at("3:00"), behind=Span(0), ends=at("41:00")
    )


def test_what_is_late_moves_all_that_is_left() -> None:
    """The second begins a minute and a half late, so the third and the end do, too."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00", "5:00"))
    bench.must(bench.label_act("C1"))
    bench.must(bench.label_act("C2", person="P-002"), "3:30")

    found = guide(bench, "4:00")
    assert found is not None
    assert (found.number, found.at, found.behind) == (3, at("6:30"), span("1:30"))
    assert found.ends == at("41:30")


def test_a_start_that_is_overdue_is_due_now() -> None:
    """Its instant is never past, and the time lost grows meanwhile."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00"))

    found = guide(bench, "0:45")
    assert found is not None
    assert (found.at, found.behind) == (at("0:45"), span("0:45"))


def test_a_start_before_its_time_wins_nothing_back() -> None:
    """The gaps of a plan keep its windows, so the rest stays where it is."""
    bench = Bench()
    bench.must(plan_of("1:00", "2:00"))
    bench.must(bench.label_act("C1"), "0:10")

    found = guide(bench, "0:10")
    assert found is not None
    assert (found.at, found.behind) == (at("2:00"), Span(0))


def test_when_all_are_begun_the_plan_is_silent() -> None:
    """Readings are called by the bay, not by the plan; one more person is nobody of it."""
    bench = Bench()
    bench.must(plan_of("0:00"))
    bench.must(bench.label_act("C1"))

    assert guide(bench, "0:10") is None
    bench.must(bench.label_act("C2", person="P-002"), "1:00")
    assert guide(bench, "1:00") is None


def test_a_plan_counts_cartridges_of_its_own_assay_alone() -> None:
    """Another assay beside it takes nobody's turn."""
    bench = Bench()
    bench.must(plan_of("0:00"))
    plan = bench.board.plan
    assert plan is not None

    assert plan.with_start("another", at("0:00")) is plan


def test_a_new_plan_takes_the_place_of_the_old_one_and_can_be_dropped() -> None:
    """There is one plan, or none."""
    bench = Bench()
    bench.must(plan_of("0:00", "2:00"))
    bench.must(plan_of("5:00"), "1:00")

    found = guide(bench, "1:00")
    assert found is not None
    assert (found.number, found.of, found.at) == (1, 1, at("6:00"))
    bench.must(DropPlan(by="op-1"), "2:00")
    assert guide(bench, "2:00") is None


@pytest.mark.parametrize(
    ("act", "code"),
    [
        (plan_of("0:00", by="op-9"), RefusalCode.UNKNOWN_OPERATOR),
        (plan_of("0:00", assay="another"), RefusalCode.NOT_ADOPTED),
        (plan_of(), RefusalCode.NOT_ALLOWED),
        (plan_of("2:00", "1:00"), RefusalCode.NOT_ALLOWED),
        (plan_of("2:00", ends="1:00"), RefusalCode.NOT_ALLOWED),
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
