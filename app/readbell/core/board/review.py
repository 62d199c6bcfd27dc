"""Releasing what is held, taking results back, and what of it is still to be done."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, assert_never

from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.acts import ReleaseReading, WithdrawResult
from readbell.core.review.events import ReadingReleased, ResultWithdrawn

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.review.acts import ReviewAct
    from readbell.core.review.events import ReviewEvent

NOT_HELD = "not held"
NOT_READ_YET = "not read yet"
NO_RESULT = "no result"
OWN_READING = "own reading"
NO_REASON = "no reason"


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnReview:
    """A supervisor's act by whoever had done the work: for somebody outside to look at."""

    at: Instant
    by: str
    about: str
    """Opaque id of a cartridge, or key of an operator."""
    event: str
    """What it was: the name of the event's class."""


def decide_review(board: Board, act: ReviewAct, now: Instant) -> tuple[ReviewEvent] | Refusal:
    """Judge a supervisor's act on a result; that it is one was made sure of before."""
    by = board.operators.get(act.by)
    if by is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    cartridge = board.labelled(act.cartridge) or board.cartridge(act.cartridge)
    if cartridge is None:
        return Refusal(code=RefusalCode.UNKNOWN_CARTRIDGE, subject=act.cartridge)
    if cartridge.withdrawn is not None:
        return Refusal(code=RefusalCode.ALREADY_ENDED, subject=cartridge.label)
    if not (act.words.value or "").strip():
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NO_REASON)
    own = by in _did(cartridge)
    match act:
        case ReleaseReading():
            return _release(board, act, cartridge, by, own=own, now=now)
        case WithdrawResult():
            if cartridge.reading is None and not cartridge.early_looks:
                return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NO_RESULT)
            event = ResultWithdrawn(
                at=now,
                by=by,
                cartridge=cartridge.id,
                reason=act.reason,
                words=act.words,
                own=own,
            )
            return (event,)
        case _:
            assert_never(act)


def _release(
    board: Board,
    act: ReleaseReading,
    cartridge: Cartridge,
    by: str,
    *,
    own: bool,
    now: Instant,
) -> tuple[ReadingReleased] | Refusal:
    if not cartridge.held:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOT_HELD)
    if not cartridge.has_ended:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOT_READ_YET)
    if own and not board.roster.is_single:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=OWN_READING)
    return (
        ReadingReleased(
            at=now,
            by=by,
            cartridge=cartridge.id,
            reasons=cartridge.held,
            words=act.words,
            own=own,
        ),
    )


def awaiting_review(board: Board) -> tuple[Cartridge, ...]:
    """Return the cartridges that have ended with something to review, in the order of labels.

    What is held and was void, or lapsed without anything seen, leaves nothing to be released.
    """
    held = (board.ended[each] for each in board.held)
    found = (each for each in held if needs_review(each))
    return tuple(sorted(found, key=lambda each: each.ordinal))


def needs_review(cartridge: Cartridge) -> bool:
    """Say whether `cartridge` has a result that waits for a supervisor."""
    seen = cartridge.reading is not None or bool(cartridge.early_looks)
    return bool(cartridge.held) and cartridge.has_ended and seen and cartridge.withdrawn is None


def own_reviews(board: Board, since: Instant) -> tuple[OwnReview, ...]:
    """Return the supervisor's acts since `since` by whoever had done the work, the first first."""
    return tuple(sorted(_own_reviews(board, since), key=lambda each: (each.at, each.about)))


def _own_reviews(board: Board, since: Instant) -> Iterator[OwnReview]:
    for cartridge in (*board.running.values(), *board.ended.values()):
        withdrawn = () if cartridge.withdrawn is None else (cartridge.withdrawn,)
        for event in (*cartridge.releases, *withdrawn):
            if event.own and event.at >= since:
                yield OwnReview(
                    at=event.at, by=event.by, about=cartridge.id, event=type(event).__name__
                )
    for at, key in board.roster.own_clearances:
        if at >= since:
            yield OwnReview(at=at, by=key, about=key, event="CompetenceStated")


def _did(cartridge: Cartridge) -> frozenset[str]:
    """Return the keys of those who said what was on the strip."""
    read = () if cartridge.reading is None else (cartridge.reading.by,)
    looked = (each.by for each in cartridge.early_looks)
    corrected = (each.by for each in cartridge.corrections)
    return frozenset((*read, *looked, *corrected))
