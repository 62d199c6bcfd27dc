"""Whether a shift may be opened, closed or signed for, and whose label is taken in it."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.closing_checks import left_undone
from readbell.core.board.events import Mode
from readbell.core.board.opening_checks import opening_checks
from readbell.core.policy.shifts import Shifts
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.shift.acts import CloseShift, OpenShift, ShiftAct, SignDaySheet
from readbell.core.shift.checks import LeftKind
from readbell.core.shift.events import DaySheetSigned, ShiftClosed, ShiftEvent, ShiftOpened

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant

SHIFTS_OFF = "shifts off"
SHIFT_RUNS = "shift runs"
NOTHING_TO_SIGN = "nothing to sign"


def decide_shift(board: Board, act: ShiftAct, now: Instant) -> tuple[ShiftEvent] | Refusal:
    """Judge an act about the shift; that a supervisor signs was made sure of before."""
    by = board.operators.get(act.by)
    if by is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    match act:
        case OpenShift():
            return _open(board, act, by, now)
        case CloseShift():
            return _close(board, act, by, now)
        case SignDaySheet():
            return _sign(board, act, by, now)
        case _:
            assert_never(act)


def refuse_outside_shift(board: Board) -> Refusal | None:
    """Say why no cartridge may be begun: the site works in shifts, and none was opened.

    Practice is never signed for, and asks for none.
    """
    if board.founded is not None and board.founded.mode is Mode.REHEARSAL:
        return None
    if board.policy.shifts is Shifts.ON and board.shift_book.running is None:
        return Refusal(code=RefusalCode.NO_SHIFT)
    return None


def is_label_taken(board: Board, label: str) -> bool:
    """Say whether `label` stands on a cartridge of the running shift, or on one that still runs.

    What had ended when a shift was closed has given its label back. Where no shift was ever
    closed a label is taken for good.
    """
    known = board.labels.get(label)
    cartridge = None if known is None else board.cartridge(known)
    return cartridge is not None and not board.shift_book.is_free(cartridge)


def labelled_in_shift(board: Board) -> int:
    """Return how many cartridges were labelled since the last shift was closed, or at all."""
    return len(board.order) - board.shift_book.freed


def _open(board: Board, act: OpenShift, by: str, now: Instant) -> tuple[ShiftOpened] | Refusal:
    if board.policy.shifts is Shifts.OFF:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=SHIFTS_OFF)
    book = board.shift_book
    if book.running is not None:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=SHIFT_RUNS)
    checks = opening_checks(board, act.facts, now, act.today, light=act.light)
    return (ShiftOpened(at=now, by=by, number=book.count + 1, checks=checks),)


def _close(board: Board, act: CloseShift, by: str, now: Instant) -> tuple[ShiftClosed] | Refusal:
    running = board.shift_book.running
    if running is None:
        return Refusal(code=RefusalCode.NO_SHIFT)
    left = left_undone(board, running.opened.at, now, act.today)
    words = act.words if act.words is not None and (act.words.value or "").strip() else None
    unfinished = next((each for each in left if each.kind is LeftKind.UNFINISHED), None)
    if unfinished is not None and words is None:
        return Refusal(code=RefusalCode.STILL_RUNNING, subject=", ".join(unfinished.about))
    return (ShiftClosed(at=now, by=by, number=running.number, left=left, words=words),)


def _sign(
    board: Board, act: SignDaySheet, by: str, now: Instant
) -> tuple[DaySheetSigned] | Refusal:
    waiting = [each.number for each in board.shift_book.unsigned]
    number = act.number if act.number is not None else next(iter(waiting), None)
    if number is None or number not in waiting:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOTHING_TO_SIGN)
    return (
        DaySheetSigned(
            at=now,
            by=by,
            number=number,
            head=act.head,
            sequence=act.sequence,
            own=board.roster.is_single,
        ),
    )
