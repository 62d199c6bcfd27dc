"""Releasing what is held, taking results back, and what of it is still to be done."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.contradicting import with_both_held
from readbell.core.board.layered import newest
from readbell.core.board.mixed_up import is_taken_back, with_others
from readbell.core.board.reviewed import reviewed
from readbell.core.board.samples import with_verdict
from readbell.core.board.subjects import is_behind
from readbell.core.cartridge.correction import bands_that_count
from readbell.core.cartridge.events import ResultAmended
from readbell.core.cartridge.looks import refuse_bands
from readbell.core.made_later import dataclass
from readbell.core.paper.events import PaperRunEntered
from readbell.core.reading.interpretation import Outcome, judge_window, overall
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.acts import AmendResult, ReleaseReading, WithdrawResult
from readbell.core.review.events import ReadingReleased, ResultWithdrawn
from readbell.core.review.reasons import HoldReason

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.board.reviewed import Reviewed
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.review.acts import ReviewAct

NOT_HELD = "not held"
NOT_READ_YET = "not read yet"
NO_RESULT = "no result"
NEVER_READ = "never read"
ON_PAPER = "on paper"
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


def decide_review(board: Board, act: ReviewAct, now: Instant) -> tuple[Event, ...] | Refusal:
    """Judge a supervisor's act on a result; that it is one was made sure of before."""
    by = board.operators.get(act.by)
    if by is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    cartridge = reviewed(board, act.cartridge, now)
    if cartridge is None:
        return Refusal(code=RefusalCode.UNKNOWN_CARTRIDGE, subject=act.cartridge)
    if is_taken_back(board, cartridge):
        return Refusal(code=RefusalCode.ALREADY_ENDED, subject=cartridge.label)
    if not (act.words.value or "").strip():
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NO_REASON)
    if isinstance(cartridge, PaperRunEntered):
        return _of_paper(board, act, cartridge, by, now)
    own = by in _did(cartridge)
    match act:
        case ReleaseReading():
            return _release(board, act, cartridge, by, own=own, now=now)
        case WithdrawResult():
            refused = refuse_withdrawal(board, cartridge)
            if refused is not None:
                return refused
            event = ResultWithdrawn(
                at=now,
                by=by,
                cartridge=cartridge.id,
                reason=act.reason,
                words=act.words,
                own=own,
            )
            return with_others(board, act, cartridge, event)
        case AmendResult():
            return _amend(board, act, cartridge, by, own=own, now=now)
        case _:
            assert_never(act)


def refuse_withdrawal(board: Board, found: Reviewed) -> Refusal | None:
    """Say why there is no result to be taken back of what a supervisor named, or None."""
    if is_taken_back(board, found):
        return Refusal(code=RefusalCode.ALREADY_ENDED, subject=found.label)
    if isinstance(found, PaperRunEntered) or found.reading is not None or found.early_looks:
        return None
    return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NO_RESULT)


def _of_paper(
    board: Board, act: ReviewAct, run: PaperRunEntered, by: str, now: Instant
) -> tuple[Event, ...] | Refusal:
    """Judge an act on a run from paper: it may be taken back, and entered anew as it was."""
    match act:
        case ReleaseReading():
            return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOT_HELD)
        case AmendResult():
            return Refusal(code=RefusalCode.NOT_ALLOWED, subject=ON_PAPER)
        case WithdrawResult():
            event = ResultWithdrawn(
                at=now,
                by=by,
                cartridge=run.run,
                reason=act.reason,
                words=act.words,
                own=by == run.operator,
            )
            return with_others(board, act, run, event)
        case _:
            assert_never(act)


def _amend(
    board: Board,
    act: AmendResult,
    cartridge: Cartridge,
    by: str,
    *,
    own: bool,
    now: Instant,
) -> tuple[Event, ...] | Refusal:
    """Judge what a supervisor says anew; the reading rules say what it comes to, as ever."""
    if cartridge.voided is not None:
        return Refusal(code=RefusalCode.ALREADY_ENDED, subject=cartridge.label)
    if cartridge.reading is None or not cartridge.has_ended:
        subject = NEVER_READ if cartridge.has_ended else NOT_READ_YET
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=subject)
    if own and not board.roster.is_single:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=OWN_READING)
    refused = refuse_bands(cartridge, act.bands)
    if refused is not None:
        return refused
    # Of two readings that disagree the first may be the right one: that decides something.
    both = HoldReason.READ_ON_BOTH_SIDES in cartridge.held
    undecided = cartridge.outcome is Outcome.WITHHELD and (both or not cartridge.amendments)
    if act.bands == bands_that_count(cartridge) and not undecided:
        return Refusal(code=RefusalCode.ALREADY_KNOWN, subject="reading")
    outcomes = judge_window(cartridge.assay.line_keys, act.bands, cartridge.early_lines)
    event = ResultAmended(
        at=now,
        by=by,
        cartridge=cartridge.id,
        bands=act.bands,
        outcomes=outcomes,
        outcome=overall(outcomes),
        reason=act.reason,
        words=act.words,
        own=own,
    )
    return with_both_held(board, cartridge, with_verdict(board, cartridge, (event,)))


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
    if cartridge.voided is not None:
        return Refusal(code=RefusalCode.ALREADY_ENDED, subject=cartridge.label)
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
    for each in newest(board.own_acts):
        if is_behind(board, each.at, since):
            break
        if each.at >= since:
            yield each
    for at, key in board.roster.own_clearances:
        if at >= since:
            yield OwnReview(at=at, by=key, about=key, event="CompetenceStated")


def _did(cartridge: Cartridge) -> frozenset[str]:
    """Return the keys of those who said what was on the strip."""
    read = () if cartridge.reading is None else (cartridge.reading.by,)
    again = () if cartridge.second is None else (cartridge.second.by,)
    looked = (each.by for each in cartridge.early_looks)
    corrected = (each.by for each in cartridge.corrections)
    both = HoldReason.READ_ON_BOTH_SIDES
    apart = (each.by for each in cartridge.holds if both in each.reasons and each.by is not None)
    return frozenset((*read, *again, *looked, *corrected, *apart))
