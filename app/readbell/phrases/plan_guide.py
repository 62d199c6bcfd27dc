"""The plan a bay goes by, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.instant import SECOND, Instant, between
from readbell.core.plan.batch.job import FaultKind
from readbell.core.plan.course import Why
from readbell.core.span_text import write_left, write_span
from readbell.core.starts.events import PlanDropped, PlanLoaded, StartsEvent
from readbell.phrases.of_plans import say_fault

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.plan.batch.job import Fault
    from readbell.core.plan.course import Cause, Course, NextPlanned
    from readbell.phrases.clock_time import ClockFace


NOT_ALLOWED: dict[str, str] = {
    "plan": (
        "This plan has no starts in the order of time before its end, so it was not loaded. "
        "Make it anew."
    ),
    "no plan": "No plan is loaded, so there is none to drop.",
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
    if found.behind:
        yield f"Work is {write_left(found.behind)} behind it, so the rest of it moves; {ends}."


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
            return (
                f"A plan for {people} is loaded; by it the last reading is done in "
                f"{write_span(event.ends)}."
            )
        case PlanDropped():
            return "The plan is dropped."
        case _:
            assert_never(event)


def _when(at: Instant, now: Instant) -> str:
    left = between(now, at)
    return "now" if left <= 0 else f"in {write_left(left)}"
