"""How the answer about the next start stands to what is shown: since when, until when, or not any more."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.plan.answer_state import AnswerState

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.plan.answer import Answer
    from readbell.phrases.clock_time import ClockFace

WORKING = ("Next safe start: being worked out", "start: being worked out", "start: ...")
FAILED = ("Next safe start: it could not be worked out", "start: not worked out")


def say_stands(found: Answer, face: ClockFace) -> str:
    """Return since when an answer stands, and until when if nobody acts."""
    return (
        f"Worked out at {face.time(found.at)}; it stands until somebody acts, and until "
        f"{face.time(found.until)} at the latest."
    )


def say_as_of(found: Answer, face: ClockFace) -> str:
    """Return of what instant the lists of an answer are that does not stand any more."""
    return f"What follows is as of {face.time(found.at)}."


def say_waits(
    found: Answer | None, state: AnswerState, board: Board, now: Instant, face: ClockFace
) -> tuple[str, ...]:
    """Return why there is no answer now, in fewer and fewer words; nothing where none is due.

    Of an older answer only a start still to come is told, with both instants: one that
    was safe then need not be now.
    """
    match state:
        case AnswerState.FAILED:
            return FAILED
        case AnswerState.NOT_YET:
            return WORKING
        case AnswerState.PASSED:
            coming = None if found is None else found.start.at
            if found is None or coming is None or coming <= now:
                return WORKING
            was = f"as of {face.time(found.at)} not before {face.time_from(coming)}"
            return (f"{WORKING[0]}; {was}", *WORKING)
        case AnswerState.STANDS:
            if not board.assays:
                return ()
            many = f"not worked out with {len(board.running)} running"
            return (f"Next safe start: {many} at once", f"start: {many}", "start: not worked out")
        case _:
            assert_never(state)
