"""Boxes come in, are opened, warmed, counted, recalled and released."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.acts import HoldLot, OpenLot, ReceiveLot
from readbell.core.board.lot_correction import decide_lot_correction
from readbell.core.board.paper_runs import runs_with_lot
from readbell.core.board.register import decide_hold, decide_lot, decide_opening
from readbell.core.board.samples import decide_sample, held_for
from readbell.core.board.subjects import is_patients, labelled_since
from readbell.core.controls.acts import OpenMaterial, ReceiveMaterial
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.reasons import HoldReason
from readbell.core.stock.acts import (
    BeginBox,
    CorrectLot,
    CountUnits,
    DescribeLot,
    LoseUnits,
    PutBack,
    RecallLot,
    ReceiveBox,
    ReleaseLot,
    TakeOut,
    UseBuffer,
)
from readbell.core.stock.events import (
    BoxBegun,
    BufferUsed,
    GtinTied,
    LotDelivered,
    LotDescribed,
    LotOpened,
    LotPutBack,
    LotRecalled,
    LotReceived,
    LotReleased,
    LotTakenOut,
    ReleaseReason,
    Storage,
    UnitsCounted,
    UnitsLost,
)
from readbell.core.stock.lot import Lot, refuse_lot

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.controls.acts import SampleAct
    from readbell.core.instant import Instant
    from readbell.core.review.events import ReadingHeld
    from readbell.core.stock.acts import StockAct
    from readbell.core.stock.events import StockEvent

    Decided = tuple[LotReceived | LotOpened | StockEvent | ReadingHeld, ...] | Refusal

ONE_BOX = "units"
"""What a refusal is about whose number of units cannot be."""


def decide_lots(
    board: Board, act: ReceiveLot | HoldLot | OpenLot | StockAct | SampleAct, now: Instant
) -> tuple[Event, ...] | Refusal:
    """Judge an act on a lot, or on a control material."""
    match act:
        case ReceiveLot():
            return decide_lot(board, act, now)
        case HoldLot():
            return decide_hold(board, act, now)
        case OpenLot():
            return decide_opening(board, act, now)
        case ReceiveMaterial() | OpenMaterial():
            return decide_sample(board, act, now)
        case _:
            return decide_stock(board, act, now)


def decide_stock(board: Board, act: StockAct, now: Instant) -> Decided:
    """Judge an act on the stock."""
    by = board.operators.get(act.by)
    if by is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    match act:
        case ReceiveBox():
            return _receive(board, act, by, now)
        case UseBuffer():
            return _use_buffer(board, act, by, now)
        case _:
            lot = board.lots.get(act.lot)
            if lot is None:
                return Refusal(code=RefusalCode.UNKNOWN_LOT, subject=act.lot)
            return _of_lot(board, lot, act, by, now)


def lots_on_hold(board: Board) -> set[str]:
    """Return the numbers of the lots that are on hold."""
    return {number for number, lot in board.lots.items() if lot.on_hold}


def _of_lot(
    board: Board,
    lot: Lot,
    act: BeginBox
    | TakeOut
    | PutBack
    | LoseUnits
    | CountUnits
    | RecallLot
    | ReleaseLot
    | DescribeLot
    | CorrectLot,
    by: str,
    now: Instant,
) -> Decided:
    match act:
        case BeginBox():
            return refuse_lot(lot, act.today) or (
                LotOpened(at=now, by=by, number=lot.number),
                BoxBegun(at=now, by=by, number=lot.number, on=act.today),
            )
        case TakeOut() | PutBack():
            if lot.storage is not Storage.COLD:
                return Refusal(code=RefusalCode.NOT_ALLOWED, subject="not kept cold")
            kind = LotTakenOut if isinstance(act, TakeOut) else LotPutBack
            return (kind(at=now, by=by, number=lot.number),)
        case LoseUnits():
            if act.units < 1 or (lot.left is not None and act.units > lot.left):
                return Refusal(code=RefusalCode.NOT_ALLOWED, subject=ONE_BOX)
            return (
                UnitsLost(
                    at=now,
                    by=by,
                    number=lot.number,
                    units=act.units,
                    reason=act.reason,
                    words=act.words,
                ),
            )
        case CountUnits():
            if act.counted < 0:
                return Refusal(code=RefusalCode.NOT_ALLOWED, subject=ONE_BOX)
            return (
                UnitsCounted(
                    at=now, by=by, number=lot.number, counted=act.counted, expected=lot.left
                ),
            )
        case RecallLot():
            return _recall(board, lot, act, by, now)
        case ReleaseLot():
            return _release(lot, act, by, now)
        case DescribeLot():
            return _particulars(act, lot.number, by, now)
        case CorrectLot():
            return decide_lot_correction(board, lot, act, by, now)
        case _:
            assert_never(act)


def _recall(board: Board, lot: Lot, act: RecallLot, by: str, now: Instant) -> Decided:
    # Before the lot came in nobody was tested with it.
    since = lot.deliveries[0].at
    tested = tuple(
        each
        for each in reversed([*labelled_since(board, since)])
        if each.labelled.lot == lot.number and is_patients(each)
    )
    event = LotRecalled(
        at=now,
        by=by,
        number=lot.number,
        cartridges=tuple(each.id for each in tested),
        words=act.words,
        paper_runs=runs_with_lot(board, lot.number, since),
    )
    return event, *held_for(tested, HoldReason.LOT_RECALLED, by, now)


def _receive(board: Board, act: ReceiveBox, by: str, now: Instant) -> Decided:
    lot = board.lots.get(act.number)
    tied = None if act.gtin is None else board.stock_room.gtins.get(act.gtin)
    has = None if lot is None else board.assays[lot.assay].assay.id
    said = [each for each in (act.assay, tied, has) if each is not None]
    if not said:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="no assay")
    if len(set(said)) > 1:
        return Refusal(code=RefusalCode.BOX_OF_ANOTHER_ASSAY, subject=f"{said[0]}, {said[-1]}")
    adopted = board.assay_called(said[0])
    if adopted is None:
        return Refusal(code=RefusalCode.NOT_ADOPTED, subject=said[0])
    if lot is not None and lot.expires != act.expires:
        subject = f"{lot.number} ({lot.expires}, {act.expires})"
        return Refusal(code=RefusalCode.LOT_TWO_EXPIRIES, subject=subject)
    if act.today > act.expires:
        return Refusal(code=RefusalCode.LOT_EXPIRED, subject=f"{act.number} ({act.expires})")
    received = (
        LotReceived(
            at=now,
            by=by,
            number=act.number,
            assay=adopted.content_hash,
            expires=act.expires,
            units=act.units,
            is_scanned=act.is_scanned,
        )
        if lot is None
        else LotDelivered(at=now, by=by, number=act.number, units=act.units)
    )
    described = _particulars(act, act.number, by, now)
    return (received, *described, *_ties(act, tied, said[0], by, now))


def _particulars(
    act: ReceiveBox | DescribeLot, number: str, by: str, now: Instant
) -> tuple[LotDescribed, ...]:
    if act.storage is None and act.buffer is None and act.good_after_opening is None:
        return ()
    return (
        LotDescribed(
            at=now,
            by=by,
            number=number,
            storage=act.storage,
            buffer=act.buffer,
            good_after_opening=act.good_after_opening,
        ),
    )


def _ties(
    act: ReceiveBox, tied: str | None, assay: str, by: str, now: Instant
) -> tuple[GtinTied, ...]:
    if act.gtin is None or tied is not None:
        return ()
    return (GtinTied(at=now, by=by, gtin=act.gtin, assay_id=assay),)


def _release(lot: Lot, act: ReleaseLot, by: str, now: Instant) -> Decided:
    if not lot.on_hold:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="not on hold")
    if lot.is_recalled and act.reason is not ReleaseReason.RECALL_WITHDRAWN:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="recalled")
    return (LotReleased(at=now, by=by, number=lot.number, reason=act.reason, words=act.words),)


def _use_buffer(board: Board, act: UseBuffer, by: str, now: Instant) -> Decided:
    cartridge = board.labelled(act.cartridge)
    if cartridge is None:
        return Refusal(code=RefusalCode.UNKNOWN_CARTRIDGE, subject=act.cartridge)
    came_with = {number: lot.buffer for number, lot in board.lots.items() if lot.buffer is not None}
    own = came_with.get(cartridge.labelled.lot)
    # A buffer of another box is one that is known to be so; of the rest nobody can tell.
    is_foreign = act.buffer in came_with.values() if own is None else act.buffer != own
    return (
        BufferUsed(at=now, by=by, cartridge=cartridge.id, buffer=act.buffer, is_foreign=is_foreign),
    )
