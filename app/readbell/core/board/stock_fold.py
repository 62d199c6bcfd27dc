"""How the board changes with what comes to lots and to control samples."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.events import (
    CartridgeRead,
    ReadingCorrected,
    ResultAmended,
)
from readbell.core.climate.events import TemperatureNoted
from readbell.core.controls.events import MaterialOpened, MaterialReceived, SampleJudged
from readbell.core.controls.material import Material, SampleKind
from readbell.core.controls.room import InvalidSeen, LotRecord, Proof, proof_of_hands
from readbell.core.controls.verdict import Verdict
from readbell.core.people.events import OperatorRegistered
from readbell.core.reading.interpretation import Outcome
from readbell.core.stock.events import (
    BoxBegun,
    BufferUsed,
    GtinTied,
    LossReason,
    LotCorrected,
    LotDelivered,
    LotDescribed,
    LotDoubted,
    LotHeld,
    LotOpened,
    LotPutBack,
    LotRecalled,
    LotReceived,
    LotReleased,
    LotTakenOut,
    UnitsCounted,
    UnitsLost,
)
from readbell.core.stock.lot import Delivery, Lot, WhyHeld

if TYPE_CHECKING:
    from readbell.core.board.draft import Draft
    from readbell.core.board.event import Event
    from readbell.core.controls.events import SampleEvent
    from readbell.core.stock.events import LotEvent, StockEvent


def write_lot(draft: Draft, lot: Lot) -> None:
    """Write `lot` down; one that gives no more cartridges does not stand open.

    No other box comes to stand in front for it: whoever takes the next pouch says of which.
    """
    draft.lots.put(lot.number, lot)
    if lot.on_hold or lot.is_used_up:
        _put_away(draft, lot.number)


def _put_away(draft: Draft, number: str) -> None:
    """Let no box of this lot stand open."""
    draft.open_boxes = {key: each for key, each in draft.open_boxes.items() if each != number}
    if number == draft.open_lot:
        draft.open_lot = None


def put_in_front(draft: Draft, lot: Lot) -> None:
    """Let the box of `lot` stand open in front, in place of the one of its assay alone."""
    assay = draft.assays.want(lot.assay, "assay").assay.id
    others = {key: each for key, each in draft.open_boxes.items() if key != assay}
    draft.open_boxes = {**others, assay: lot.number}
    draft.open_lot = lot.number


def put_boxes_away(draft: Draft) -> None:
    """Let no box stand open: the next shift scans its own."""
    draft.open_boxes, draft.open_lot = {}, None


def note_after_recall(draft: Draft, lot: Lot, cartridge: str) -> None:
    """Note a cartridge of a lot that was called back: whoever labelled it could not know."""
    room = draft.stock_room
    known = room.after_recall.get(lot.number, ())
    later = {**room.after_recall, lot.number: (*known, cartridge)}
    draft.stock_room = replace(room, after_recall=later)


NOTED = frozenset(
    {
        OperatorRegistered,
        CartridgeRead,
        ReadingCorrected,
        ResultAmended,
        TemperatureNoted,
    }
)
"""What else may ask for control samples."""


def enter_lots(draft: Draft, event: LotEvent | SampleEvent) -> None:
    """Enter what came to a lot, to a control material, or of a sample of it."""
    match event:
        case LotReceived():
            assay = draft.assays.want(event.assay, "assay").assay
            draft.lots.put(event.number, _received(event, assay.open_box_days))
        case LotHeld():
            lot = draft.lots.want(event.number, "lot")
            # A graver reason that it is on hold for stays.
            why = lot.held_for or WhyHeld.BY_HAND
            write_lot(draft, replace(lot, on_hold=True, held_for=why))
        case LotOpened():
            put_in_front(draft, draft.lots.want(event.number, "lot"))
        case MaterialReceived() | MaterialOpened() | SampleJudged():
            _enter_sample(draft, event)
        case _:
            _enter_stock(draft, event)


def _received(event: LotReceived, open_box_days: int | None) -> Lot:
    return Lot(
        number=event.number,
        assay=event.assay,
        expires=event.expires,
        units=event.units,
        deliveries=(Delivery(at=event.at, units=event.units),),
        good_after_opening=open_box_days,
        is_scanned=event.is_scanned,
    )


def _enter_stock(draft: Draft, event: StockEvent) -> None:
    room = draft.stock_room
    match event:
        case GtinTied():
            draft.stock_room = replace(room, ties={**room.ties, event.gtin: event})
        case BufferUsed():
            draft.cartridge(event.cartridge)
            draft.stock_room = replace(room, buffers={**room.buffers, event.cartridge: event})
        case LotDoubted():
            draft.cartridge(event.cartridge)
            draft.stock_room = replace(room, doubts={**room.doubts, event.cartridge: event})
        case LotCorrected():
            _correct(draft, event)
            draft.stock_room = replace(room, corrections=(*room.corrections, event))
        case _:
            write_lot(draft, _changed(draft.lots.want(event.number, "lot"), event))
    match event:
        case UnitsLost():
            draft.stock_room = replace(room, losses=(*room.losses, event))
        case UnitsCounted():
            draft.stock_room = replace(room, counts=(*room.counts, event))
        case LotRecalled():
            draft.stock_room = replace(room, recalls=(*room.recalls, event))
        case _:
            pass


def _correct(draft: Draft, event: LotCorrected) -> None:
    """Put a lot right; of another assay its open box stands open no more, and is scanned again."""
    lot = draft.lots.want(event.number, "lot")
    if event.ends is not None:
        ends, scanned = event.ends, event.is_scanned
        lot = replace(lot, expires=event.expires, ends=ends, is_scanned=scanned)
    if event.assay != event.assay_before:
        before, after = (
            draft.assays.want(each, "assay").assay.open_box_days
            for each in (event.assay_before, event.assay)
        )
        # What was read off the box stays; what the wrong assay had said of it goes.
        days = after if lot.good_after_opening == before else lot.good_after_opening
        lot = replace(lot, assay=event.assay, good_after_opening=days)
        _put_away(draft, lot.number)
    write_lot(draft, lot)


def _changed(
    lot: Lot,
    event: LotDelivered
    | LotDescribed
    | BoxBegun
    | LotTakenOut
    | LotPutBack
    | UnitsLost
    | UnitsCounted
    | LotRecalled
    | LotReleased,
) -> Lot:
    match event:
        case LotDelivered():
            both = lot.units is not None and event.units is not None
            return replace(
                lot,
                units=(lot.units or 0) + (event.units or 0) if both else None,
                deliveries=(*lot.deliveries, Delivery(at=event.at, units=event.units)),
            )
        case LotDescribed():
            return replace(
                lot,
                storage=event.storage or lot.storage,
                buffer=event.buffer or lot.buffer,
                good_after_opening=event.good_after_opening or lot.good_after_opening,
            )
        case BoxBegun():
            return replace(lot, opened_on=event.on)
        case LotTakenOut():
            return replace(lot, taken_out=event.at)
        case LotPutBack():
            return replace(lot, taken_out=None)
        case UnitsLost():
            bad = event.units if event.reason is LossReason.DAMAGED else 0
            return replace(lot, lost=lot.lost + event.units, bad=lot.bad + bad)
        case UnitsCounted():
            if event.expected is None:
                # From here on they are counted: what is there now, and what was taken before.
                return replace(lot, units=event.counted + lot.used + lot.lost - lot.drift)
            return replace(lot, drift=lot.drift + event.counted - event.expected)
        case LotRecalled():
            return replace(lot, on_hold=True, held_for=WhyHeld.RECALLED)
        case LotReleased():
            return replace(lot, on_hold=False, held_for=None)
        case _:
            assert_never(event)


def _enter_sample(draft: Draft, event: SampleEvent) -> None:
    room = draft.samples
    match event:
        case MaterialReceived():
            made = Material(
                number=event.number,
                kind=event.kind,
                assay=event.assay_id,
                expires=event.expires,
                expected=event.expected,
                good_after_opening=event.good_after_opening,
            )
            draft.names.put(made.key, made.number)
            draft.samples = replace(room, materials={**room.materials, made.number: made})
        case MaterialOpened():
            opened = replace(room.materials[event.number], opened_on=event.on)
            draft.samples = replace(room, materials={**room.materials, event.number: opened})
        case SampleJudged():
            _enter_verdict(draft, event)
        case _:
            assert_never(event)


def _enter_verdict(draft: Draft, event: SampleJudged) -> None:
    room = draft.samples
    cartridge, material = draft.cartridge(event.cartridge), room.materials[event.material]
    draft.samples = replace(room, judged={**room.judged, event.cartridge: event})
    lot = draft.lots.want(event.lot, "lot")
    if event.verdict is Verdict.FAILED:
        write_lot(
            draft, replace(lot, on_hold=True, held_for=lot.held_for or WhyHeld.CONTROL_FAILED)
        )
    if event.verdict is not Verdict.PASSED:
        return
    proof = Proof(at=cartridge.labelled.at, by=event.by)
    record = room.record(event.lot)
    positive = material.kind is SampleKind.POSITIVE
    record = replace(record, positive=proof) if positive else replace(record, negative=proof)
    _write_record(draft, event.lot, _without_what_is_settled(record))
    hands = proof_of_hands(material.assay, material.kind)
    known = draft.samples.proven.get(event.by, ())
    if hands not in known:
        draft.samples = replace(
            draft.samples, proven={**draft.samples.proven, event.by: (*known, hands)}
        )


def _without_what_is_settled(record: LotRecord) -> LotRecord:
    """Forget the invalid results that both kinds have passed after."""
    if record.positive is None or record.negative is None:
        return record
    both = min(record.positive.at, record.negative.at)
    return replace(record, invalids=tuple(each for each in record.invalids if each.at > both))


def note_for_samples(draft: Draft, event: Event) -> None:
    """Keep of any event what may ask for control samples; the board has it already."""
    match event:
        case OperatorRegistered():
            room = draft.samples
            draft.samples = replace(room, since={**room.since, event.operator.key: event.at})
        case CartridgeRead() | ReadingCorrected() | ResultAmended():
            _note_invalid(draft, event)
        case TemperatureNoted():
            for lot in draft.lots.mapping.values():
                if lot.assay in event.outside:
                    _note_excursion(draft, lot, event)
        case _:
            pass


def _note_invalid(
    draft: Draft,
    event: CartridgeRead | ReadingCorrected | ResultAmended,
) -> None:
    cartridge = draft.cartridge(event.cartridge)
    if not is_patients(cartridge):
        return
    lot = cartridge.labelled.lot
    record = draft.samples.record(lot)
    others = tuple(each for each in record.invalids if each.cartridge != cartridge.id)
    # By what the cartridge comes to: the first of two readings settles nothing yet.
    if cartridge.outcome is Outcome.INVALID:
        seen = InvalidSeen(cartridge=cartridge.id, at=event.at, subject=cartridge.labelled.subject)
        # Crowds are looked for from one to the next, and one that was read alone comes late.
        invalids = sorted((*others, seen), key=lambda each: each.at)
        _write_record(draft, lot, replace(record, invalids=(*invalids,)))
    elif others != record.invalids:
        _write_record(draft, lot, replace(record, invalids=others))


def _note_excursion(draft: Draft, lot: Lot, event: TemperatureNoted) -> None:
    record = draft.samples.record(lot.number)
    proofs = [each.at for each in (record.positive, record.negative) if each is not None]
    settled_at = min(proofs) if len(proofs) == 2 else None
    if settled_at is not None and event.at < settled_at:
        return  # noted alone, and joined up after both kinds had passed
    known = record.excursion
    if known is not None and settled_at is not None and known < settled_at:
        known = None
    # The first one that nothing has settled yet: that is since when they are due.
    since = event.at if known is None else min(known, event.at)
    _write_record(draft, lot.number, replace(record, excursion=since))


def _write_record(draft: Draft, lot: str, record: LotRecord) -> None:
    room = draft.samples
    draft.samples = replace(room, lots={**room.lots, lot: record})
