"""The plan a bay goes by, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.instant import Instant, between
from readbell.core.span_text import write_left, write_span
from readbell.core.starts.events import PlanDropped, PlanLoaded, StartsEvent
from readbell.core.starts.loaded import next_planned

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board


NOT_ALLOWED: dict[str, str] = {
    "plan": (
        "This plan has no starts in the order of time before its end, so it was not loaded. "
        "Make it anew."
    ),
    "no plan": "No plan is loaded, so there is none to drop.",
}
"""By what a refusal is about."""


def say_guide(board: Board, safe: Instant | None, now: Instant) -> Iterator[str]:
    """Yield what the loaded plan says about the next start; nothing without one.

    Args:
        board: as it is.
        safe: the next safe start, which goes before the plan; None: none is in sight.
        now: the instant.
    """
    found = next_planned(board.plan, now)
    if found is None:
        return
    who = f"Plan: person {found.number} of {found.of}, operator {found.operator}"
    if safe is None or safe > found.at:
        yield f"{who}: due {_when(found.at, now)}, but not before the next safe start."
    else:
        yield f"{who}: {_when(found.at, now)}."
    if found.behind:
        yield (
            f"Work is {write_left(found.behind)} behind the plan, so the rest of it was moved by as "
            f"much; its last reading would be done {_when(found.ends, now)}."
        )


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
