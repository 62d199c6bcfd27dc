"""What is held for review, released or taken back, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.contradicting import contradicted_by
from readbell.core.board.mixed_up import NO_MIX_UP
from readbell.core.board.review import (
    NEVER_READ,
    NO_REASON,
    NO_RESULT,
    NOT_HELD,
    NOT_READ_YET,
    ON_PAPER,
    OWN_READING,
    awaiting_review,
)
from readbell.core.cartridge.looks import SAME_READER
from readbell.core.reading.interpretation import Outcome
from readbell.core.review.events import ReadingHeld, ReadingReleased, ResultWithdrawn
from readbell.core.review.reasons import AmendReason, HoldReason, WithdrawReason
from readbell.phrases.of_bands import say_bands

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.cartridge.events import CartridgeRead
    from readbell.core.reading.bands import Bands
    from readbell.core.review.events import MixUpFound, ReviewEvent
    from readbell.phrases.clock_time import ClockFace

ERASED = "erased"
HELD = "HELD for review"
WITHDRAWN = "WITHDRAWN"
AMENDED = "AMENDED"

HOLD_REASONS: dict[HoldReason, str] = {
    HoldReason.UNVERIFIED: "read under a name that nobody made sure of",
    HoldReason.NOT_SIGNED_IN: "somebody worked on it who was not signed in",
    HoldReason.NOT_COMPETENT: "read by somebody who is not cleared for this assay",
    HoldReason.WITHOUT_ROLE: "read by somebody who is no reader",
    HoldReason.TEMPERATURE: "the bench was, or may have been, too cold or too warm",
    HoldReason.SECOND_NOT_READ_BACK: "the person's second identifier was not read back",
    HoldReason.LOT_ON_HOLD: "its lot was on hold when it was read",
    HoldReason.LOT_RECALLED: "its lot was recalled",
    HoldReason.LOT_EXPIRED: "begun after the last day of its lot, which had been entered wrongly",
    HoldReason.CONTROL_FAILED: "a control sample on its lot failed",
    HoldReason.CONTROLS_OVERDUE: "control samples of its lot were overdue when it was read",
    HoldReason.READERS_DISAGREE: "two readers saw different things on it",
    HoldReason.NOT_READ_TWICE: "no second reader read it in its window",
    HoldReason.CONTRADICTS_EARLIER: (
        "it says otherwise than the positive seen early on the cartridge it repeats"
    ),
    HoldReason.CONTRADICTS_ANOTHER: (
        "another cartridge of this person, run at the same time, says otherwise"
    ),
    HoldReason.READ_ON_BOTH_SIDES: "two stations that did not reach each other both looked at it",
    HoldReason.ACTED_APART: "something that was done with it at a station alone is kept apart",
    HoldReason.RETIRED_MEANWHILE: "looked at by somebody who worked here no more by then",
}

AMEND_REASONS: dict[AmendReason, str] = {
    AmendReason.WRONGLY_ENTERED: "entered otherwise than it was seen",
    AmendReason.WRONGLY_SEEN: "something on the strip was overlooked or mistaken",
    AmendReason.READERS_DISAGREED: "decided between two readers",
    AmendReason.OTHER: "another reason",
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
    NOT_READ_YET: (
        "{cartridge} has not been read yet, so nothing of it is decided. Come back once it is."
    ),
    ON_PAPER: (
        "{cartridge} is a run on paper, and is not amended. Take its result back, and enter the "
        "run as it was."
    ),
    NEVER_READ: (
        "Nobody read {cartridge} in its window, so there is no reading to amend. Take a fresh "
        "cartridge and a new specimen."
    ),
    SAME_READER: (
        "You read {cartridge} already, and the second reader is somebody else. Ask another "
        "reader to read it, and tell them nothing of what you saw."
    ),
    NO_MIX_UP: (
        "Others are named, but the reason is none that concerns them. Say that it was another "
        "person's or another cartridge, or take the result of {cartridge} back alone."
    ),
    NO_RESULT: "Nothing was seen on {cartridge}, so there is no result. Void it, if it runs.",
    OWN_READING: (
        "You read {cartridge} yourself. Ask another supervisor to look at it and to decide."
    ),
    NO_REASON: "No reason was given. Say in a few words why.",
}
"""By what the refusal is about."""


def tell_of_review(event: ReviewEvent, board: Board) -> str:
    """Return the line for `event`; `board` is as it is after it."""
    label = _label(event.cartridge, board)
    match event:
        case ReadingHeld():
            return f"{label}  {HELD}: {say_holds(event.reasons)}. {_who_decides(event)}."
        case ReadingReleased():
            by = board.name(event.by) or "erased"
            found = board.cartridge(event.cartridge)
            is_withheld = found is not None and found.outcome is Outcome.WITHHELD
            stands = (
                "it stays WITHHELD, and a repeat is due" if is_withheld else "the result stands"
            )
            return f"{label}  released by {by}: {stands}.{_own(own=event.own)}"
        case ResultWithdrawn():
            why = WITHDRAW_REASONS[event.reason]
            return (
                f"{label}  {WITHDRAWN}: {why}. What was seen stays on record; nothing of it "
                f"counts. Repeat with a new specimen.{_own(own=event.own)}"
            )
        case _:
            assert_never(event)


def _who_decides(event: ReadingHeld) -> str:
    """Return what a supervisor does about what is held."""
    if HoldReason.READ_ON_BOTH_SIDES in event.reasons:
        return "A supervisor decides"
    if HoldReason.CONTRADICTS_ANOTHER in event.reasons:
        return "A supervisor decides which of them stands"
    return "A supervisor releases it"


def say_contradicting(event: ReadingHeld, board: Board) -> str:
    """Return, short enough for a narrow screen, which cartridges of one person contradict each other."""
    labels = " and ".join([_label(event.cartridge, board), *_contradicted(event.cartridge, board)])
    return f"{labels} HELD: results of one person contradict; see F9, Review."


def say_otherwise(cartridge: Cartridge, board: Board) -> Iterator[str]:
    """Yield which other cartridges of the person say otherwise, and what is done about it; or nothing."""
    others = _contradicted(cartridge.id, board)
    if HoldReason.CONTRADICTS_ANOTHER in cartridge.held and others:
        yield (
            f"Contradicted by {' and '.join(others)} of the same person. Release what stands, take "
            "back what does not; if neither is sure, take back both and repeat with a new specimen."
        )


def _contradicted(key: str, board: Board) -> tuple[str, ...]:
    """Return the labels of what a cartridge contradicts as both stand now."""
    found = board.cartridge(key)
    return () if found is None else tuple(each.label for each in contradicted_by(board, found))


def say_no_outcome(event: ReadingHeld, board: Board) -> str:
    """Return, short enough for a narrow screen, that two stations looked at one strip."""
    return (
        f"{_label(event.cartridge, board)} NO OUTCOME: looked at by two stations; see F9, Review."
    )


def tell_of_mix_up(event: MixUpFound, board: Board) -> str:
    """Return the line for a mix-up: what was taken back, and who gives a new specimen."""
    labels = ", ".join(_label(each, board) for each in event.cartridges)
    persons = ", ".join(board.name(each) or ERASED for each in event.persons)
    return (
        f"{labels}  mixed up: {WITHDRAW_REASONS[event.reason]}. No result is moved to anybody. "
        f"Tell each of them, and take a new specimen: {persons}.{_own(own=event.own)}"
    )


def _label(key: str, board: Board) -> str:
    """Return the label of a cartridge or of a run on paper; nothing of what nobody knows."""
    found = board.cartridge(key) or board.paper_runs.get(key)
    return "" if found is None else found.label


def what_is_held(board: Board, face: ClockFace) -> Iterator[str]:
    """Yield a line for each result that waits for a supervisor; one line if none does."""
    waiting = awaiting_review(board)
    if not waiting:
        yield "Nothing is held for review."
    for each in waiting:
        yield f"{each.label}  {HELD}: {say_holds(each.held)}. {say_read_by(each, board, face)}."
        more = (*say_readings(each, board, face), *say_otherwise(each, board))
        yield from (f"{each.label}  {said}" for said in more)
    if board.new_specimen:
        yield say_new_specimens(board)


def say_read_by(cartridge: Cartridge, board: Board, face: ClockFace) -> str:
    """Return who saw what is on record of a strip, and when."""
    reading = cartridge.reading
    if reading is None:
        look = cartridge.early_looks[-1] if cartridge.early_looks else None
        if look is None:
            return "Not read"
        return f"Seen early by {board.name(look.by) or ERASED} at {face.time(look.at)}"
    return f"Read by {board.name(reading.by) or ERASED} at {face.time(reading.at)}"


NO_FURTHER = "No further repeat."


def say_referral(referral: str) -> str:
    """Return what is done with a person who gets no further repeat: the site's words, or ours."""
    return referral or "Start no further test: refer them as the local rules say."


def say_readings(cartridge: Cartridge, board: Board, face: ClockFace) -> Iterator[str]:
    """Yield what each of two readers saw, or the only one of them that came; else nothing."""
    reading = cartridge.reading
    if reading is None or reading.second is None or not cartridge.has_ended:
        return
    seen = cartridge.corrections[-1].bands if cartridge.corrections else reading.bands
    yield f"First, {_read_by(reading, board, face)}: {_seen(seen, cartridge)}."
    second = cartridge.second
    if second is not None:
        yield f"Second, {_read_by(second, board, face)}: {_seen(second.bands, cartridge)}."


def _read_by(reading: CartridgeRead, board: Board, face: ClockFace) -> str:
    return f"{board.name(reading.by) or ERASED} at {face.time(reading.at)}"


def _seen(bands: Bands, cartridge: Cartridge) -> str:
    """Return what was seen on a strip, by the letters printed beside its lines."""
    rules = cartridge.assay.reading
    return say_bands(bands, rules.control_mark, {each.key: each.mark for each in rules.lines})


def say_new_specimens(board: Board) -> str:
    """Return who is to be told of a mix-up and to give a new specimen; nothing if nobody is."""
    if not board.new_specimen:
        return ""
    persons = ", ".join(board.name(each) or ERASED for each in board.new_specimen)
    return f"Mixed up: to be told, and to give a new specimen: {persons}."


def say_holds(reasons: Iterable[HoldReason]) -> str:
    """Return why something is held."""
    return "; ".join(HOLD_REASONS[each] for each in reasons)


def say_mark(cartridge: Cartridge) -> str:
    """Return what stands beside a result that is held, amended or withdrawn; else nothing."""
    if cartridge.withdrawn is not None:
        return WITHDRAWN
    marks = ("held" if cartridge.held else "", "amended" if cartridge.amendments else "")
    return " ".join(each for each in marks if each)


def _own(*, own: bool) -> str:
    return " Own review." if own else ""
