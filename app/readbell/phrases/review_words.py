"""What is held for review, released or taken back, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.review import (
    NO_REASON,
    NO_RESULT,
    NOT_HELD,
    NOT_READ_YET,
    OWN_READING,
    awaiting_review,
)
from readbell.core.review.events import ReadingHeld, ReadingReleased, ResultWithdrawn
from readbell.core.review.reasons import HoldReason, WithdrawReason

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.review.events import ReviewEvent
    from readbell.phrases.clock_time import ClockFace

ERASED = "erased"
HELD = "HELD for review"
WITHDRAWN = "WITHDRAWN"

HOLD_REASONS: dict[HoldReason, str] = {
    HoldReason.UNVERIFIED: "read under a name that nobody made sure of",
    HoldReason.NOT_SIGNED_IN: "somebody worked on it who was not signed in",
    HoldReason.NOT_COMPETENT: "read by somebody who is not cleared for this assay",
    HoldReason.WITHOUT_ROLE: "read by somebody who is no reader",
    HoldReason.TEMPERATURE: "the bench was, or may have been, too cold or too warm",
    HoldReason.SECOND_NOT_READ_BACK: "the person's second identifier was not read back",
    HoldReason.LOT_ON_HOLD: "its lot was on hold when it was read",
    HoldReason.LOT_RECALLED: "its lot was recalled",
    HoldReason.CONTROL_FAILED: "a control sample on its lot failed",
    HoldReason.CONTROLS_OVERDUE: "control samples of its lot were overdue when it was read",
}

WITHDRAW_REASONS: dict[WithdrawReason, str] = {
    WithdrawReason.ANOTHER_PERSON: "it was another person's",
    WithdrawReason.ANOTHER_CARTRIDGE: "another cartridge was read, or labels were swapped",
    WithdrawReason.WRONGLY_READ: "it was read wrongly",
    WithdrawReason.PROCEDURE: "the procedure was not kept",
    WithdrawReason.KIT_FAULT: "the kit was faulty",
    WithdrawReason.OTHER: "another reason",
}

NOT_ALLOWED: dict[str, str] = {
    NOT_HELD: "{cartridge} is not held for review. There is nothing to release.",
    NOT_READ_YET: "{cartridge} has not been read yet. Release it once it is.",
    NO_RESULT: "Nothing was seen on {cartridge}, so there is no result. Void it, if it runs.",
    OWN_READING: (
        "You read {cartridge} yourself. Ask another supervisor to look at it and release it."
    ),
    NO_REASON: "No reason was given. Say in a few words why.",
}
"""By what the refusal is about."""


def tell_of_review(event: ReviewEvent, board: Board) -> str:
    """Return the line for `event`; `board` is as it is after it."""
    cartridge = board.cartridge(event.cartridge)
    label = "" if cartridge is None else cartridge.label
    match event:
        case ReadingHeld():
            return f"{label}  {HELD}: {say_holds(event.reasons)}. A supervisor releases it."
        case ReadingReleased():
            by = board.name(event.by) or "erased"
            return f"{label}  released by {by}: the result stands.{_own(own=event.own)}"
        case ResultWithdrawn():
            why = WITHDRAW_REASONS[event.reason]
            return (
                f"{label}  {WITHDRAWN}: {why}. What was seen stays on record; nothing of it "
                f"counts. Repeat with a new specimen.{_own(own=event.own)}"
            )
        case _:
            assert_never(event)


def what_is_held(board: Board, face: ClockFace) -> Iterator[str]:
    """Yield a line for each result that waits for a supervisor; one line if none does."""
    waiting = awaiting_review(board)
    if not waiting:
        yield "Nothing is held for review."
    for each in waiting:
        yield f"{each.label}  {HELD}: {say_holds(each.held)}. {say_read_by(each, board, face)}."


def say_read_by(cartridge: Cartridge, board: Board, face: ClockFace) -> str:
    """Return who saw what is on record of a strip, and when."""
    reading = cartridge.reading
    if reading is None:
        look = cartridge.early_looks[-1] if cartridge.early_looks else None
        if look is None:
            return "Not read"
        return f"Seen early by {board.name(look.by) or ERASED} at {face.time(look.at)}"
    return f"Read by {board.name(reading.by) or ERASED} at {face.time(reading.at)}"


def say_holds(reasons: Iterable[HoldReason]) -> str:
    """Return why something is held."""
    return "; ".join(HOLD_REASONS[each] for each in reasons)


def say_mark(cartridge: Cartridge) -> str:
    """Return the word that stands beside a result that is held or withdrawn; else nothing."""
    if cartridge.withdrawn is not None:
        return WITHDRAWN
    return "held" if cartridge.held else ""


def _own(*, own: bool) -> str:
    return " Own review." if own else ""
