"""How a lot stands, in a word or two: may cartridges be taken from it, and for how long."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.controls_due import KINDS, due_on
from readbell.core.board.which_box import is_open
from readbell.core.controls.verdict import Verdict
from readbell.phrases.stock_words import HELD_FOR, say_cold

if TYPE_CHECKING:
    from datetime import date

    from readbell.core.board.board import Board
    from readbell.core.controls.events import SampleJudged
    from readbell.core.instant import Instant
    from readbell.core.stock.lot import Lot
    from readbell.phrases.clock_time import ClockFace

SOON, PAST = "SOON", "PAST"
DUE, FAILED, PASSED, UNKNOWN = "DUE", "FAILED", "passed", "-"


def state_of(lot: Lot, board: Board, now: Instant, face: ClockFace) -> str:
    """Return whether cartridges may be taken from `lot`."""
    today = face.local(now).date()
    if lot.on_hold:
        why = "" if lot.held_for is None else f", {HELD_FOR[lot.held_for]}"
        return f"ON HOLD{why}"
    if lot.expires < today:
        return "EXPIRED"
    if lot.is_used_up:
        return "used up"
    stands = "open" if is_open(board, lot.number) else "in store"
    if lot.good_until < today:
        return f"{stands}, OPEN TOO LONG"
    cold = say_cold(lot, board, face)
    return f"{stands}, {cold}" if cold else stands


def good_to(last: date, board: Board, today: date) -> str:
    """Return a last good day and how many days it leaves."""
    days = (last - today).days
    if days < 0:
        return f"{last} {PAST}"
    soon = f"{SOON} " if days <= board.policy.warn_expiry_days else ""
    return f"{last} {soon}{days} d"


def of_samples(lot: Lot, board: Board, now: Instant) -> str:
    """Return how `lot` stands with its control samples; a dash where nothing is known."""
    last = _last_on(board, lot)
    if last is not None and last.verdict is Verdict.FAILED:
        return FAILED
    if any(each.is_overdue(now) for each in due_on(board, lot)):
        return DUE
    record = board.samples.record(lot.number)
    return PASSED if all(record.proof(kind) is not None for kind in KINDS) else UNKNOWN


def _last_on(board: Board, lot: Lot) -> SampleJudged | None:
    found = [each for each in board.samples.judged.values() if each.lot == lot.number]
    return max(found, key=lambda each: each.at, default=None)
