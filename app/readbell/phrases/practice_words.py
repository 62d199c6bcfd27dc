"""What a rehearsal records beside what any bay does, and why it may not be recorded."""

from __future__ import annotations

from typing import assert_never

from readbell.core.board.practice import BEGUN, LIVE
from readbell.core.practice.assist import Assist
from readbell.core.practice.events import (
    InterruptionAnswered,
    LeaptAhead,
    PracticeActed,
    PracticeBegun,
    PracticeEvent,
    SpeedSet,
)
from readbell.core.span_text import write_elapsed

ASSISTS: dict[Assist | None, str] = {
    Assist.FULL: "with full help",
    Assist.ALARMS: "with alarms alone",
    Assist.SILENT: "without help, as an examination",
    None: "played by itself, with nobody at the keys",
}

NOT_ALLOWED: dict[str, str] = {
    LIVE: "This is a live record, and practice never goes into one. Rehearse in a journal of its own.",
    BEGUN: "This journal is of an attempt that has begun. Begin another in a journal of its own.",
}
"""By the subject of the refusal."""


def tell_of_practice(event: PracticeEvent) -> str:
    """Return the line for `event`; it says neither who practised nor what was answered."""
    match event:
        case PracticeBegun():
            return f"Practice begun: {event.title}, {ASSISTS[event.assist]}."
        case InterruptionAnswered():
            return f"Interruption {event.number} answered."
        case PracticeActed():
            return "An act was kept as it was asked for."
        case SpeedSet(speed=0):
            return "The clock of the rehearsal stands still."
        case SpeedSet():
            return f"The clock of the rehearsal goes {event.speed} times as fast as a real one."
        case LeaptAhead():
            return f"The clock of the rehearsal leapt ahead by {write_elapsed(event.by_span)}."
        case _:
            assert_never(event)
