"""Lots and what came to them, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.start_checks import COLD_KIT, CONTROLS_OVERDUE, OPENED_TOO_LONG
from readbell.core.board.temperature import OUT_OF_RANGE
from readbell.core.instant import between
from readbell.core.refusal import RefusalCode
from readbell.core.span_text import write_left, write_span
from readbell.core.stock.events import (
    BoxBegun,
    BufferUsed,
    GtinTied,
    LossReason,
    LotCorrected,
    LotDelivered,
    LotDescribed,
    LotDoubt,
    LotDoubted,
    LotHeld,
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
from readbell.core.stock.lot import WhyHeld
from readbell.core.stock.warming import must_warm, warm_from
from readbell.phrases.lot_correction_words import say_lot_correction
from readbell.phrases.standing import labels

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.refusal import Refusal
    from readbell.core.stock.events import LotEvent
    from readbell.core.stock.lot import Lot
    from readbell.phrases.clock_time import ClockFace

STORED: dict[Storage, str] = {
    Storage.ROOM: "at room temperature",
    Storage.COLD: "cold",
}

LOSSES: dict[LossReason, str] = {
    LossReason.DAMAGED: "damaged",
    LossReason.OPENED_UNUSED: "opened and not used in time",
    LossReason.STORED_WRONG: "stored wrongly",
    LossReason.TRAINING: "used for training",
    LossReason.HANDED_ON: "handed on to another bay",
    LossReason.MISSING: "missing",
    LossReason.OTHER: "another reason",
}

RELEASES: dict[ReleaseReason, str] = {
    ReleaseReason.HELD_BY_MISTAKE: "it was held by mistake",
    ReleaseReason.CONTROLS_PASSED: "control samples were run again and passed",
    ReleaseReason.INVESTIGATED: "the cause was found and is not the lot",
    ReleaseReason.RECALL_WITHDRAWN: "the recall was withdrawn, or was of another lot",
    ReleaseReason.OTHER: "another reason",
}

HELD_FOR: dict[WhyHeld, str] = {
    WhyHeld.BY_HAND: "by hand",
    WhyHeld.CONTROL_FAILED: "sample failed",
    WhyHeld.RECALLED: "recalled",
}

WARNINGS: dict[str, str] = {
    COLD_KIT: "It was kept cold and has not warmed up: a negative may come of it that is none.",
    OPENED_TOO_LONG: "Its box has been open for longer than it is good.",
    CONTROLS_OVERDUE: "Control samples are overdue on this lot.",
    OUT_OF_RANGE: "It is too cold or too warm for this assay, at the bench or in the store.",
}
"""What a start is warned of, and all the same allowed."""

REFUSED: dict[RefusalCode, str] = {
    RefusalCode.LOT_TWO_EXPIRIES: (
        "Lot {subject} would have two last days. Nothing was taken in. "
        "Read number and day off the box again; if the record is wrong, correct the lot."
    ),
    RefusalCode.BOX_OF_ANOTHER_ASSAY: (
        "Two assays are named for it: {subject}. Nothing was done. Look at the box again."
    ),
    RefusalCode.BOX_OPENED_TOO_LONG: (
        "The box of lot {subject} has been open for longer than it is good. Open a fresh box."
    ),
    RefusalCode.CONTROLS_DUE: (
        "Control samples are overdue on lot {subject}. "
        "Run them first, or open a box whose control samples have passed."
    ),
    RefusalCode.OUT_OF_TEMPERATURE: (
        "It is too cold or too warm for this assay ({subject}). "
        "Bring it back into range and note the temperature, or use a kit that bears it."
    ),
    RefusalCode.UNKNOWN_SAMPLE: (
        "No control material {subject} was entered here. Scan it again, or enter it first."
    ),
    RefusalCode.SAMPLE_EXPIRED: (
        "Control material {subject} is past its last day. Take one that is in date."
    ),
}

NOT_ALLOWED: dict[str, str] = {
    "units": "So many units cannot be. Nothing was written. Count them again.",
    "not kept cold": "This lot is not kept cold. There is nothing to warm up.",
    "not on hold": "This lot is not on hold. There is nothing to release.",
    "recalled": (
        "This lot was recalled. It is released only if the recall was withdrawn, and with that "
        "reason. Nothing was done."
    ),
    "no assay": "Nobody has said yet which assay this box is for. Name the assay, then take it in.",
    "nothing to correct": (
        "The record says that of this lot already. Nothing was done. Say what has to be otherwise."
    ),
    "day off the code": (
        "The last day of this lot was read off the code of its box. Nothing is typed over that: "
        "scan the code of a box of it to correct it."
    ),
    "day is past": (
        "That day is past, so this lot would give no more cartridges. Nothing was done. If the box "
        "says so, say that it is meant: past."
    ),
    "begun by its assay": (
        "Something was begun of this lot by the steps of its assay, which is changed no more. "
        "Put the lot on hold, and leave to a supervisor what becomes of the results."
    ),
    "expected lines": (
        "What it has to show does not fit the lines of the device, or its kind. "
        "Name each line once, positive or negative."
    ),
}
"""By what the refusal is about."""


def say_cold_kit(refusal: Refusal, now: Instant, face: ClockFace) -> str:
    """Return why a kit that was kept cold is not used yet."""
    if refusal.due is None or refusal.limit is None:
        return f"Lot {refusal.subject} is kept cold. Take it out and let it warm up first."
    left = write_left(between(now, refusal.due))
    return (
        f"Lot {refusal.subject} warms up for {write_span(refusal.limit)}. "
        f"Use it from {face.time_from(refusal.due)}, in {left}."
    )


def tell_of_stock(event: LotEvent, board: Board, face: ClockFace) -> str:
    """Return the line for `event`; `board` is as it is after it."""
    match event:
        case LotReceived():
            units = "units not counted" if event.units is None else f"{event.units} units"
            # Nobody is asked where the item number of the box says it: so it is said back.
            adopted = board.assays.get(event.assay)
            of = "" if adopted is None else f", for {adopted.assay.id}"
            return f"Lot {event.number} received: good to {event.expires}, {units}{of}."
        case LotHeld():
            return f"Lot {event.number} on hold. What runs on it is finished."
        case LotOpened():
            return _opened(event, board, face)
        case LotDelivered():
            units = "units not counted" if event.units is None else f"{event.units} more units"
            return f"Lot {event.number}: another delivery, {units}."
        case LotDescribed():
            return _described(event)
        case GtinTied():
            return f"Boxes with the item number {event.gtin} hold {event.assay_id}."
        case BoxBegun():
            return f"A fresh box of lot {event.number}, opened {event.on}.{_good(event, board)}"
        case LotTakenOut():
            return _taken_out(event, board, face)
        case LotPutBack():
            return f"Lot {event.number}: back in the cold."
        case UnitsLost():
            return (
                f"Lot {event.number}: {event.units} written off, {LOSSES[event.reason]}. "
                f"{_left(board.lots[event.number])}"
            )
        case UnitsCounted():
            return _counted(event)
        case LotRecalled():
            return _recalled(event, board)
        case LotReleased():
            return (
                f"Lot {event.number} released by {_who(event.by, board)}: {RELEASES[event.reason]}."
            )
        case LotCorrected():
            return say_lot_correction(event, board)
        case LotDoubted():
            return _doubted(event, board)
        case BufferUsed():
            return _buffer(event, board)
        case _:
            assert_never(event)


def _opened(event: LotOpened, board: Board, face: ClockFace) -> str:
    """Return that a box stands open, and where its days are nearly over how many are left."""
    said = f"Lot {event.number} stands open at the bench."
    lot = board.lots.get(event.number)
    days = None if lot is None else (lot.good_until - face.local(event.at).date()).days
    if days is None or not 0 <= days <= board.policy.warn_expiry_days:
        return said
    left = "Today is its last day" if days == 0 else f"{days} days are left of it"
    return f"{said} {'1 day is left of it' if days == 1 else left}."


def say_strayed(cartridge: Cartridge, board: Board) -> tuple[str, ...]:
    """Return what became of the lot of a cartridge before its drops, and a buffer of another kit."""
    doubted = board.stock_room.doubts.get(cartridge.id)
    used = board.stock_room.buffers.get(cartridge.id)
    said = () if doubted is None else tuple(f"its lot {_DOUBTS[each]}" for each in doubted.doubts)
    foreign = used is not None and used.is_foreign
    return (*said, f"buffer {used.buffer} of another kit") if used and foreign else said


def say_warnings(warnings: tuple[str, ...]) -> str:
    """Return what a start is warned of, each as a sentence after a blank."""
    return "".join(f" {WARNINGS[each]}" for each in warnings if each in WARNINGS)


def say_cold(lot: Lot, board: Board, face: ClockFace) -> str:
    """Return whether kits of a lot are cold or from when on they are warm; else nothing."""
    warm_up = board.assays[lot.assay].assay.temperatures.warm_up
    if not must_warm(lot, warm_up):
        return ""
    warm = warm_from(lot, warm_up)
    return "kept cold" if warm is None else f"warm from {face.time_from(warm)}"


def say_left(lot: Lot) -> str:
    """Return how many units of a lot are left, and of how many."""
    return "not counted" if lot.left is None else f"{lot.left} of {lot.units}"


def _described(event: LotDescribed) -> str:
    said = []
    if event.storage is not None:
        said.append(f"kept {STORED[event.storage]}")
    if event.buffer is not None:
        said.append(f"its buffer is {event.buffer}")
    if event.good_after_opening is not None:
        said.append(f"good for {event.good_after_opening} days once opened")
    return f"Lot {event.number}: {', '.join(said)}."


def _good(event: BoxBegun, board: Board) -> str:
    lot = board.lots[event.number]
    return "" if lot.good_after_opening is None else f" Good to {lot.good_until}."


def _taken_out(event: LotTakenOut, board: Board, face: ClockFace) -> str:
    said = say_cold(board.lots[event.number], board, face)
    tail = f" Kits of it are {said}." if said else ""
    return f"Lot {event.number}: out of the cold.{tail}"


def _left(lot: Lot) -> str:
    return "Nobody counts this lot." if lot.left is None else f"{lot.left} left."


def _counted(event: UnitsCounted) -> str:
    if event.expected is None:
        return f"Lot {event.number}: {event.counted} counted; they are counted from here on."
    difference = event.counted - event.expected
    if difference == 0:
        return f"Lot {event.number}: {event.counted} counted, as on record."
    how = f"{abs(difference)} {'more' if difference > 0 else 'fewer'}"
    return f"Lot {event.number}: {event.counted} counted, {how} than on record. The count stands."


def _recalled(event: LotRecalled, board: Board) -> str:
    said = f"Lot {event.number} RECALLED and on hold. What runs on it is finished."
    runs = [run for each in event.paper_runs if (run := board.paper_runs.get(each))]
    if not event.cartridges and not runs:
        return f"{said} Nobody was tested with it here."
    people = {
        found.labelled.subject
        for each in event.cartridges
        if (found := board.cartridge(each)) is not None
    } | {each.person for each in runs}
    noun = "person was" if len(people) == 1 else "people were"
    timed = [labels(board, event.cartridges)] if event.cartridges else []
    on_paper = [f"on paper {', '.join(each.label for each in runs)}"] if runs else []
    return (
        f"{said} {len(people)} {noun} tested with it: {'; '.join((*timed, *on_paper))}. "
        "Their results wait for a supervisor."
    )


def _doubted(event: LotDoubted, board: Board) -> str:
    label = labels(board, (event.cartridge,))
    said = " and ".join(_DOUBTS[each] for each in event.doubts)
    return f"{label}  Deviation: lot {event.number} {said} since it was labelled. Go on with it."


_DOUBTS: dict[LotDoubt, str] = {
    LotDoubt.ON_HOLD: "went on hold",
    LotDoubt.EXPIRED: "passed its last day",
}


def _buffer(event: BufferUsed, board: Board) -> str:
    label = labels(board, (event.cartridge,))
    if not event.is_foreign:
        return f"{label}  buffer {event.buffer}."
    return (
        f"{label}  Deviation: buffer {event.buffer} is of another kit. "
        "Parts of two kits are not mixed: ask whether it is to be void."
    )


def _who(key: str, board: Board) -> str:
    return board.name(key) or "erased"
