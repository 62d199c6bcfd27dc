"""A loaded plan follows what really happens: it is made anew, and costs nobody who runs anything."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from builders import NASAL, START, Bench, at, span
from core.plan.kits import reading_in, within
from core.plan.real_bay import around, deeds_of, do, idle_bench, usual
from core.starts.test_planned_starts import plan_of
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import SECOND, Instant, Span, later
from readbell.core.plan.anew import play_on
from readbell.core.plan.batch.job import Batch, batch_of
from readbell.core.plan.batch.planner import plan
from readbell.core.plan.course import TOLERANCE, Cause, Course, Why, follow
from readbell.core.plan.present import bench_now
from readbell.core.plan.way_out import way_out
from readbell.core.starts.acts import LoadPlan
from readbell.core.starts.events import PlannedStart

if TYPE_CHECKING:
    from readbell.core.plan.bench import Bench as Before
    from readbell.core.plan.bench import Hand


FIRM = within("2:00")


def followed(bench: Bench, now: str, last: Course | None = None) -> Course | None:
    """Return the course of the plan of `bench` at `now`."""
    return follow(last, bench.board.plan, around(bench), at(now))


def alone(*starts: str) -> LoadPlan:
    """Return the act that loads starts of one pair of hands."""
    act = plan_of(*starts)
    return replace(act, starts=tuple(replace(each, operator=1) for each in act.starts))


def batch_plan(people: int, operators: int) -> tuple[LoadPlan, list[Instant]]:
    """Return the act that loads the batch plan for so many, and its starts if loaded at once."""
    batch = batch_of(usual(FIRM), arrivals=[Span(0)] * people, operators=operators)
    assert isinstance(batch, Batch)
    found = plan(batch)
    starts = tuple(
        PlannedStart(after=each.begins, operator=each.operator + 1) for each in found.starts()
    )
    act = LoadPlan(by="op-1", assay=FIRM.id, starts=starts, ends=found.ends)
    return act, [later(START, each.after) for each in starts]


def test_there_is_no_course_without_a_plan_or_when_all_are_begun() -> None:
    """The last person's label ends it; readings are called by the bay."""
    bench = Bench()
    assert followed(bench, "0:00") is None

    bench.must(plan_of("0:00"))
    assert followed(bench, "0:00") is not None
    bench.must(bench.label_act("C1"), "0:10")
    assert followed(bench, "0:10") is None


def test_what_is_off_within_the_tolerance_moves_the_rest() -> None:
    """Half a minute to the millisecond."""
    bench = Bench()
    bench.must(plan_of("0:00", "4:00"))
    bench.must(bench.label_act("C1"), "0:30")

    course = followed(bench, "0:30")
    assert course is not None
    assert course.made is None
    assert bench.board.plan is not None
    found = course.next_of(bench.board.plan, at("0:30"))
    assert (found.number, found.of, found.at) == (2, 2, at("4:30"))
    assert (found.behind, found.ends) == (span("0:30"), at("40:30"))


@pytest.mark.parametrize(
    ("labelled", "why", "by"),
    [("1:20.001", Why.BEGAN_LATE, "1:20.001"), ("0:30.001", Why.BEGAN_LATE, "0:30.001")],
)
def test_somebody_begun_late_makes_the_rest_be_planned_anew(
    labelled: str, why: Why, by: str
) -> None:
    """From the bench as it is: the second is begun as soon as nothing is put at risk by it."""
    bench = Bench(FIRM)
    bench.must(alone("0:00", "1:00", "10:00"))
    bench.must(bench.label_act("C1"), labelled)

    course = followed(bench, labelled)
    assert course is not None
    assert course.cause == Cause(why=why, number=1, by=span(by))
    assert (course.made, course.begun, len(course.starts)) == (at(labelled), 1, 2)
    # Whoever has C1 in hand ends it first, and then the next fits into its wait.
    assert course.starts[0].at == later(at(labelled), span("1:20"))
    assert course.starts[0].name == "key-op-1"
    # Nobody is begun before the plan as it was loaded has them: they may not be there.
    assert course.starts[1].at == at("10:00")


def test_somebody_begun_early_does_too() -> None:
    """What was begun before its time has its limits before their time."""
    bench = Bench()
    bench.must(alone("3:00", "5:00"))
    bench.must(bench.label_act("C1"), "0:10")

    course = followed(bench, "0:10")
    assert course is not None
    assert course.cause == Cause(why=Why.BEGAN_EARLY, number=1, by=span("2:50"))
    assert course.starts[0].at >= at("5:00")


def test_somebody_who_is_not_begun_is_told_from_when_they_were_due() -> None:
    """However often the rest is planned anew meanwhile; and whoever is next is due now."""
    bench = Bench()
    bench.must(alone("0:00", "2:00"))

    course = followed(bench, "0:30")
    assert course is not None
    assert course.made is None
    course = followed(bench, "0:31", course)
    assert course is not None
    assert course.cause == Cause(why=Why.NOT_BEGUN, number=1, by=span("0:31"))
    assert course.starts[0].at == at("0:31")
    again = followed(bench, "1:05", course)
    assert again is not None
    assert again.cause == Cause(why=Why.NOT_BEGUN, number=1, by=span("1:05"))
    bench.must(bench.label_act("C1"), "1:10")
    then = followed(bench, "2:00", again)
    assert then is again  # five seconds after what was planned last
    missing = followed(bench, "4:00", then)
    assert missing is not None
    assert missing.cause is not None
    assert (missing.cause.why, missing.cause.number) == (Why.NOT_BEGUN, 2)
    assert missing.cause.by < span("4:00")


def test_work_that_takes_longer_moves_the_next_start_before_it_is_due() -> None:
    """The first swab is not in its buffer yet: nobody can begin the second at 1:10."""
    bench = Bench(FIRM)
    bench.must(alone("0:00", "1:10"))
    bench.must(bench.label_act("C1"))
    bench.step("buffer", "0:55")

    course = followed(bench, "1:05")
    assert course is not None
    assert course.cause is not None
    assert (course.cause.why, course.cause.number) == (Why.WORK, 2)
    assert course.starts[0].at == later(at("1:10"), course.cause.by)
    assert course.cause.by > TOLERANCE


def test_another_plan_begins_a_course_of_its_own() -> None:
    """What was said of the one before is gone with it."""
    bench = Bench()
    bench.must(plan_of("0:00"))
    late = followed(bench, "1:00")
    bench.must(plan_of("5:00"), "1:00")

    course = followed(bench, "1:00", late)
    assert course is not None
    assert (course.made, course.starts[0].at) == (None, at("6:00"))


def test_where_no_end_is_in_sight_the_plan_stays_as_it_was() -> None:
    """A wait that usual hands cannot keep: nothing better is known than what was loaded."""
    bench = Bench(within("1:01"))
    bench.must(alone("0:00", "2:00"))
    bench.must(bench.label_act("C1"), "1:30")

    course = followed(bench, "1:30")
    assert course is not None
    assert course.made is None


def test_a_reading_hours_away_is_not_played_to_its_end() -> None:
    """Hands that look about for so long would take time from the screen."""
    far = usual(reading_in("9:00:00", "10:00:00"))
    near = usual(reading_in("30:00", "40:00"))

    assert play_on(idle_bench(1), far, [START], START) is None
    assert play_on(idle_bench(1), near, [START], START) is not None


@pytest.mark.parametrize(("people", "operators"), [(6, 1), (12, 2)])
def test_hands_that_keep_the_plan_are_left_in_peace(people: int, operators: int) -> None:
    """It is not made anew for its own sake: only the seconds of the label lie between."""
    act, _ = batch_plan(people, operators)
    bench = Bench(FIRM)
    bench.must(act)
    batch = batch_of(usual(FIRM), arrivals=[Span(0)] * people, operators=operators)
    assert isinstance(batch, Batch)
    course, deeds = None, []
    for each in plan(batch).placed:
        when = later(START, each.begins)
        for part in batch.work.pieces[each.piece].parts:
            when = later(when, part.hands.usual)
            deeds.append((when, f"C{each.person}", part.key))
    for deed in sorted(deeds):
        do(bench, deed)
        course = follow(course, bench.board.plan, around(bench), deed[0])
        assert course is None or course.made is None, (course.cause, deed)


def test_a_bay_whose_operator_delays_ends_by_the_new_plan_with_nothing_missed() -> None:
    """Every newcomer is begun fifty seconds after the plan says; the plan follows to its end."""
    act, starts = batch_plan(8, 1)
    bench = Bench(FIRM)
    bench.must(act)
    now, course, due = START, None, dict[int, Instant]()
    causes = set[Why]()
    while True:
        course = follow(course, bench.board.plan, around(bench), now)
        releases = []
        if course is not None:
            assert bench.board.plan is not None
            found = course.next_of(bench.board.plan, now)
            assert found.at >= now
            causes |= set() if course.cause is None else {course.cause.why}
            releases = [due.setdefault(found.number, later(found.at, span("0:50")))]
        played = play_on(taken(bench, 1, now), usual(FIRM), releases, now)
        assert played is not None
        if not played:
            break
        for deed in deeds_of(bench, played[:1], len(bench.board.order) + 1):
            do(bench, deed)
            now = deed[0]

    assert causes >= {Why.BEGAN_LATE, Why.NOT_BEGUN}
    assert len(due) == 8
    assert due[8] > later(starts[7], span("2:00"))
    assert not bench.board.running
    for each in bench.board.ended.values():
        assert (each.stage, each.deviations) == (Stage.READ, ())


def taken(bench: Bench, hands: int, now: Instant) -> Before:
    """Return what lies before so many hands of `bench`, at usual times."""
    key = next(iter(bench.board.assays))
    works = {key: usual(bench.assay)}
    return bench_now(tuple(bench.board.running.values()), works, hands, now).bench


@settings(max_examples=50, deadline=None)
@given(
    people=st.integers(1, 6),
    left=st.integers(1, 5),
    hands=st.integers(1, 3),
    stops=st.integers(0, 2400),
    jitter=st.lists(st.integers(0, 12), min_size=40, max_size=40),
    is_firm=st.booleans(),
)
def test_starts_planned_anew_cost_nobody_who_runs_a_limit(
    people: int, left: int, hands: int, stops: int, jitter: list[int], is_firm: bool
) -> None:
    """From states that a real board came to: done at usual times, the board finds nothing amiss."""
    bench = Bench(FIRM if is_firm else NASAL)
    bench.must(alone(*["0:00"] * (people + left)))
    work = usual(bench.assay)
    before = play_on(idle_bench(hands), work, [START] * people, START)
    assert before is not None
    now = later(START, Span(stops * SECOND))
    slow = iter(jitter)
    for when, label, step in deeds_of(bench, before, 1):
        late = later(when, Span(next(slow, 0) * SECOND))
        if late > now:
            break
        assume(all(each.last_mark.done.said <= late for each in bench.board.running.values()))
        try:
            do(bench, (late, label, step))
        except AssertionError:
            assume(False)  # the jitter itself broke a limit before anything was planned
    stands = taken(bench, hands, now)
    assume(way_out(stands).is_sure)
    running = set(bench.board.running)

    played = play_on(stands, work, [now] * left, now)
    assert played is not None
    assert sum(each.is_start for each in played) == left
    deeds = deeds_of(bench, played, len(bench.board.order) + 1)
    deeds += [deed for hand in stands.hands for deed in ended_by(bench, hand)]
    for deed in sorted(deeds):
        do(bench, deed)
    assert not bench.board.running
    for key in running:
        assert (bench.board.ended[key].stage, bench.board.ended[key].deviations) == (Stage.READ, ())


def ended_by(bench: Bench, hand: Hand) -> list[tuple[Instant, str, str]]:
    """Return the acts that end what `hand` is in the middle of, by when it is to be free."""
    if hand.on is None:
        return []
    cartridge = bench.board.running[hand.on[0]]
    at_, found = hand.free_most, []
    for part in reversed(usual(bench.assay).pieces[hand.on[1]].parts):
        if cartridge.mark_of(part.key) is None:
            found.append((at_, cartridge.label, part.key))
            at_ = Instant(at_ - part.hands.usual)
    return found


def test_whether_a_start_far_off_can_be_kept_is_not_asked_yet() -> None:
    """Much happens in a full bay until then, and playing all of it forward takes a while."""
    bench = Bench(FIRM)
    bench.must(alone("0:00", "20:00"))
    bench.must(bench.label_act("C1"))
    bench.step("buffer", "0:55")

    course = followed(bench, "1:05")
    assert course is not None
    assert course.cause is None
