"""A lot that went on hold or out of date while its cartridge was being worked on.

Nothing is refused any more then. At the drops it is warned of and kept on record,
and a reading on a lot that is on hold waits for a supervisor.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.controls_due import overdue_for
from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.acts import CorrectReading, Look, Read
from readbell.core.cartridge.events import StepDone
from readbell.core.policy.stocking import Strictness
from readbell.core.refusal import Refusal
from readbell.core.review.reasons import HoldReason
from readbell.core.stock.events import LotDoubt, LotDoubted
from readbell.core.stock.lot import WhyHeld

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.acts import ActOnCartridge
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.stock.lot import Lot

SEES = (Look, Read, CorrectReading)
"""Acts by which somebody says what is on a strip."""

_HELD: dict[WhyHeld, HoldReason] = {
    WhyHeld.BY_HAND: HoldReason.LOT_ON_HOLD,
    WhyHeld.CONTROL_FAILED: HoldReason.CONTROL_FAILED,
    WhyHeld.RECALLED: HoldReason.LOT_RECALLED,
}


def with_doubts(
    board: Board,
    cartridge: Cartridge,
    decided: tuple[Event, ...] | Refusal,
    today: date | None,
) -> tuple[Event, ...] | Refusal:
    """Return what comes of a step, with what is to be warned of if the drops are among it."""
    if isinstance(decided, Refusal):
        return decided
    last = cartridge.assay.last_step.key
    drops = [each for each in decided if isinstance(each, StepDone) and each.step == last]
    lot = board.lots[cartridge.labelled.lot]
    doubts = tuple(_doubts(lot, today)) if drops else ()
    if not doubts:
        return decided
    doubted = LotDoubted(
        at=drops[0].at, by=drops[0].by, cartridge=cartridge.id, number=lot.number, doubts=doubts
    )
    return *decided, doubted


def of_lot(
    board: Board, cartridge: Cartridge, act: ActOnCartridge, now: Instant
) -> Iterator[HoldReason]:
    """Yield what is not in order about the lot of a patient's cartridge that is looked at."""
    by = board.operators.get(act.aim.by)
    if by is None or not is_patients(cartridge) or not isinstance(act, SEES):
        return
    lot = board.lots[cartridge.labelled.lot]
    with_lot = held_with_lot(board, cartridge)
    if with_lot is not None:
        yield with_lot
    strict = board.policy.controls_overdue is Strictness.REFUSE
    if strict and overdue_for(board, lot, by, now):
        yield HoldReason.CONTROLS_OVERDUE


def held_with_lot(board: Board, cartridge: Cartridge) -> HoldReason | None:
    """Return why what is read of `cartridge` waits while its lot is on hold; None: it is not."""
    lot = board.lots[cartridge.labelled.lot]
    return _HELD[lot.held_for or WhyHeld.BY_HAND] if lot.on_hold else None


def _doubts(lot: Lot, today: date | None) -> Iterator[LotDoubt]:
    if lot.on_hold:
        yield LotDoubt.ON_HOLD
    if today is not None and today > lot.expires:
        yield LotDoubt.EXPIRED
