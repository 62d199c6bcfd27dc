"""The plan a bay goes by, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.instant import SECOND, Instant, Span, between
from readbell.core.plan.batch.job import FaultKind
from readbell.core.plan.course import Why
from readbell.core.span_text import write_left, write_span
from readbell.core.starts.events import PlanDropped, PlanLoaded, StartsEvent
from readbell.phrases.of_plans import say_fault

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.plan.batch.job import Fault
    from readbell.core.plan.course import Cause, Course, NextPlanned
    from readbell.core.plan.pauses import Pause
    from readbell.phrases.clock_time import ClockFace


WORTH_SAYING = Span(10 * SECOND)
"""Whoever reads that it is their turn needs a moment: less is nothing to be behind by (our own)."""

NOT_ALLOWED: dict[str, str] = {
    "plan": (
        "This plan has no starts in the order of time before its end, so it was not loaded. "
        "Make it anew."
    ),
    "no plan": "No plan is loaded, so there is none to drop.",
    "break": (
        "This plan has a break that ends before it begins, or for nobody, so it was not loaded. "
        "Make it anew."
    ),
}
"""By what a refusal is about."""


def say_guide(
    board: Board, course: Course | None, safe: Instant | None, now: Instant, face: ClockFace
) -> Iterator[str]:
    """Yield what the loaded plan says about the next start; nothing without one.

    Args:
        board: as it is.
        course: the plan as it now stands.
        safe: the next safe start, which goes before the plan; None: none is in sight.
        now: the instant.
        face: how times of day are shown.
    """
    found = _next(board, course, now)
    if course is None or found is None:
        return
    who = f"Plan: person {found.number} of {found.of}, {_operator(found, board)}"
    if safe is None or safe > found.at:
        yield f"{who}: due {_when(found.at, now)}, but not before the next safe start."
    else:
        yield f"{who}: {_when(found.at, now)}."
    ends = f"the last reading would be done {_when(found.ends, now)}"
    if course.made is not None and course.cause is not None:
        made = face.time(course.made)
        yield f"Planned anew at {made}, as {_why(course.cause)}; {ends}."
    if found.behind >= WORTH_SAYING:
        yield f"Work is {write_left(found.behind)} behind it, so the rest of it moves; {ends}."


def say_pauses(
    pauses: Sequence[Pause], board: Board, now: Instant, face: ClockFace
) -> Iterator[str]:
    """Yield who of the loaded plan is on a break, until when, and whose comes next."""
    is_next = True
    for each in pauses:
        until = face.time_from(each.at.until)
        if each.at.until <= now:
            continue
        if each.is_on(now):
            yield f"{_whose(each, board)} is on a break until {until}, {_when(each.at.until, now)}."
        elif is_next:
            is_next = False
            yield (
                f"{_whose(each, board)} has a break {_when(each.at.since, now)}, from "
                f"{face.time_from(each.at.since)} to {until}."
            )


def say_away(
    pauses: Sequence[Pause], board: Board, now: Instant, face: ClockFace
) -> tuple[str, ...]:
    """Return who is on a break now, in fewer and fewer words; nothing if nobody is."""
    away = [
        (_whose(each, board), face.time_from(each.at.until))
        for each in pauses
        if each.is_on(now) and each.at.until > now
    ]
    if not away:
        return ()
    return (
        ", ".join(f"{who} on a break until {until}" for who, until in away),
        ", ".join(f"{who} away until {until}" for who, until in away),
        f"{', '.join(who for who, _ in away)} away",
    )


def say_turn(
    board: Board, course: Course | None, safe: Instant | None, now: Instant
) -> tuple[str, ...]:
    """Return whose planned turn it is in fewer and fewer words, for a place that may be narrow.

    It is no turn before the next safe start, `safe`, which stands beside it.
    """
    found = _next(board, course, now)
    if found is None:
        return ()
    who = _operator(found, board)
    when = "waits" if safe is None else _when(max(found.at, safe), now)
    return (
        f"plan: person {found.number} of {found.of}, {who}: {when}",
        f"plan: {found.number} of {found.of}, {who}: {when}",
        f"plan: {found.number} of {found.of}, op. {found.operator}: {when}",
    )


def say_no_plan(fault: Fault, title: str) -> str:
    """Return why a form makes no plan, in one sentence."""
    match fault.kind:
        case FaultKind.TOO_MUCH_SLACK:
            room = fault.room // SECOND
            return f"The read window has {room} s to spare beside the work itself: keep no more."
        case FaultKind.NO_LIMIT:
            return "The assay sets no end to its read window: keep 0 seconds before it."
        case FaultKind.NO_TIME_FOR_GLOVES:
            return (
                f"{title}: one operator has no time to change gloves between two people: plan for "
                "two operators."
            )
        case _:
            return say_fault(fault, title)


def _next(board: Board, course: Course | None, now: Instant) -> NextPlanned | None:
    # What is worked out may be one act older than the board.
    plan = board.plan
    if course is None or plan is None or plan.is_done or plan.loaded != course.loaded:
        return None
    return course.next_of(plan, now)


def _operator(found: NextPlanned, board: Board) -> str:
    return board.name(found.name) or f"operator {found.operator}"


def _whose(pause: Pause, board: Board) -> str:
    return board.name(pause.by) or f"operator {pause.number}"


def _why(cause: Cause) -> str:
    by = write_left(cause.by)
    match cause.why:
        case Why.BEGAN_LATE:
            return f"person {cause.number} began {by} late"
        case Why.BEGAN_EARLY:
            return f"person {cause.number} began {by} early"
        case Why.NOT_BEGUN:
            return f"person {cause.number} was not begun, {by} after the time"
        case Why.WORK:
            return f"what runs would have made person {cause.number} {by} late"
        case _:
            assert_never(cause.why)


def tell_of_plan(event: StartsEvent) -> str:
    """Return what became of the plan."""
    match event:
        case PlanLoaded():
            people = "1 person" if len(event.starts) == 1 else f"{len(event.starts)} people"
            count = len(event.breaks)
            breaks = ", with 1 break" if count == 1 else f", with {count} breaks" if count else ""
            return (
                f"A plan for {people} is loaded{breaks}; by it the last reading is done in "
                f"{write_span(event.ends)}."
            )
        case PlanDropped():
            return "The plan is dropped."
        case _:
            assert_never(event)


def _when(at: Instant, now: Instant) -> str:
    left = between(now, at)
    return "now" if left <= 0 else f"in {write_left(left)}"
