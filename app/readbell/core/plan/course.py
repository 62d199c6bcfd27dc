"""The loaded plan as it now stands: as it was loaded, or made anew because work went otherwise.

What is off by no more than `TOLERANCE` moves the rest of the plan by as much. What is
off by more makes a new plan for everybody who is still to be begun (`anew.py`), from
the bench as it then is. Nobody is begun before the instant at which the plan as it was
loaded has them, for they may not be there sooner.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.instant import MINUTE, SECOND, Instant, Span, between, later
from readbell.core.made_later import dataclass
from readbell.core.plan.anew import play_on
from readbell.core.plan.hands_on import exactly, usual_times
from readbell.core.plan.present import bench_now
from readbell.core.plan.work import work_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from readbell.core.assay.assay import Assay
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.plan.answer import Crew
    from readbell.core.plan.bench import Bench
    from readbell.core.plan.work import Work
    from readbell.core.starts.events import PlanLoaded
    from readbell.core.starts.loaded import LoadedPlan

TOLERANCE = Span(30 * SECOND)
"""A start may be off by so much before the rest is planned anew (our own choice)."""


IN_SIGHT = Span(5 * MINUTE)
"""Whether what runs would let the next be begun in time is asked from so long before on: playing
an hour of a full bay forward takes a while, and much happens in it that nobody can know."""


class Why(StrEnum):
    """What made a plan be made anew."""

    BEGAN_LATE = "began-late"
    BEGAN_EARLY = "began-early"
    NOT_BEGUN = "not-begun"
    WORK = "work"
    """What runs would not let the next person be begun in time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """Why, whose start was off, and by how much."""

    why: Why
    number: int
    """Place of that person in the plan, counted from 1."""
    by: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class ToBegin:
    """One more person is to be begun."""

    at: Instant
    operator: int
    """Which of the hands at work, counted from 1."""
    name: str = ""
    """Their key, where it is known who that is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NextPlanned:
    """The next start of a plan."""

    number: int
    """Counted from 1."""
    of: int
    operator: int
    name: str
    """As in `ToBegin`."""
    at: Instant
    """When it is to be; never past."""
    behind: Span
    """By how much the rest was moved since it was planned last."""
    ends: Instant
    """When the last reading would be done."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """What is left of a plan, as it was planned last."""

    loaded: PlanLoaded
    """Which plan it is of."""
    begun: int
    """How many were begun when it was planned."""
    starts: tuple[ToBegin, ...]
    """Of all others, in the order of time."""
    ends: Instant
    """When the last reading would be done."""
    made: Instant | None = None
    """When it was planned anew; None: it is as it was loaded."""
    cause: Cause | None = None
    """Why it was."""

    def next_of(self, plan: LoadedPlan, now: Instant) -> NextPlanned:
        """Return the next start of `plan`, which has one; it is never past."""
        place = plan.begun - self.begun
        start = self.starts[place]
        late = 0
        if place > 0 and plan.last is not None:
            late = max(0, between(self.starts[place - 1].at, plan.last))
        at = max(later(start.at, Span(late)), now)
        behind = between(start.at, at)
        return NextPlanned(
            number=plan.begun + 1,
            of=len(self.loaded.starts),
            operator=start.operator,
            name=start.name,
            at=at,
            behind=behind,
            ends=later(self.ends, behind),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """The bay that a plan is to be kept in."""

    cartridges: Sequence[Cartridge]
    """Those that run."""
    assays: Mapping[str, Assay]
    """By content hash."""
    crew: Crew
    """Who is at work, and a site's own times; the plan itself says how many hands it is for."""


def follow(
    last: Course | None, plan: LoadedPlan | None, around: Around, now: Instant
) -> Course | None:
    """Return the course of `plan` at `now`; None without one, or when all are begun.

    Args:
        last: what was answered before, of this plan or another.
        plan: the plan that is loaded, and how far it has come.
        around: the bay.
        now: the instant.
    """
    if plan is None or plan.is_done:
        return None
    course = last if last is not None and last.loaded == plan.loaded else _as_loaded(plan.loaded)
    bench, work = _bench(plan.loaded, around, now)
    cause = _drift(course, plan, bench, work, now)
    if cause is None:
        return course
    return _anew(plan, bench, work, cause, now) or course


def _as_loaded(loaded: PlanLoaded) -> Course:
    return Course(
        loaded=loaded,
        begun=0,
        starts=tuple(
            ToBegin(at=later(loaded.at, each.after), operator=each.operator)
            for each in loaded.starts
        ),
        ends=later(loaded.at, loaded.ends),
    )


def _drift(
    course: Course, plan: LoadedPlan, bench: Bench, work: Work, now: Instant
) -> Cause | None:
    """Return what is off by more than may be; None if nothing is."""
    done = plan.begun - course.begun
    if done > 0 and plan.last is not None:
        off = between(course.starts[done - 1].at, plan.last)
        if abs(off) > TOLERANCE:
            why = Why.BEGAN_LATE if off > 0 else Why.BEGAN_EARLY
            return Cause(why=why, number=plan.begun, by=Span(abs(off)))
    due, number = course.starts[done].at, plan.begun + 1
    if between(due, now) > TOLERANCE:
        return Cause(why=Why.NOT_BEGUN, number=number, by=between(_due(course, number, due), now))
    if between(now, due) > IN_SIGHT:
        return None
    played = play_on(bench, work, [max(due, now)], now, most_starts=1)
    soonest = None if not played else played[-1].begins
    if soonest is not None and between(due, soonest) > TOLERANCE:
        return Cause(why=Why.WORK, number=number, by=between(due, soonest))
    return None


def _due(course: Course, number: int, due: Instant) -> Instant:
    """Return when the person was due before they were first found missing."""
    cause, made = course.cause, course.made
    if made is None or cause is None or cause.why is not Why.NOT_BEGUN or cause.number != number:
        return due
    return Instant(made - cause.by)


def _anew(plan: LoadedPlan, bench: Bench, work: Work, cause: Cause, now: Instant) -> Course | None:
    loaded = plan.loaded
    releases = [max(now, later(loaded.at, each.after)) for each in loaded.starts[plan.begun :]]
    played = play_on(bench, work, releases, now)
    if played is None:
        return None
    return Course(
        loaded=loaded,
        begun=plan.begun,
        starts=tuple(
            ToBegin(at=each.begins, operator=each.place + 1, name=bench.hands[each.place].name)
            for each in played
            if each.is_start
        ),
        ends=max(later(each.begins, each.task.hands.most) for each in played),
        made=now,
        cause=cause,
    )


def _bench(loaded: PlanLoaded, around: Around, now: Instant) -> tuple[Bench, Work]:
    """Return the bench as it is, and the work on whoever is still to come, at usual times."""
    running = {each.labelled.assay for each in around.cartridges}
    works = {key: _usual(around.assays[key], around.crew) for key in running | {loaded.assay}}
    hands = max(each.operator for each in loaded.starts)
    breaks = around.crew.breaks
    taken = bench_now(around.cartridges, works, hands, now, breaks=breaks)
    return taken.bench, works[loaded.assay]


def _usual(assay: Assay, crew: Crew) -> Work:
    times = {**usual_times(assay), **(crew.times or {}).get(assay.id, {})}
    usual = {key: exactly(each.usual) for key, each in times.items()}
    return work_of(assay, times=usual, gloves=crew.gloves)
