"""What is kept of readings, of their review and of bad devices beside the cartridges themselves."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.review import OwnReview
from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.events import (
    CartridgeRead,
    CartridgeVoided,
    ReadingKind,
    ResultAmended,
    VoidReason,
)
from readbell.core.review.events import ReadingReleased, ResultWithdrawn

if TYPE_CHECKING:
    from readbell.core.board.draft import Draft
    from readbell.core.cartridge.events import CartridgeEvent
    from readbell.core.review.events import ReviewEvent


def note_reading(draft: Draft, event: CartridgeEvent | ReviewEvent) -> None:
    """Count a reading or a bad device, or keep an own review: nobody has to walk all that has ended."""
    match event:
        case CartridgeRead(kind=ReadingKind.WINDOW):
            cartridge = draft.cartridge(event.cartridge)
            if is_patients(cartridge):
                assay = cartridge.assay.id
                draft.readings.put(assay, (draft.readings.get(assay) or 0) + 1)
        case CartridgeVoided(reason=VoidReason.BAD_DEVICE):
            lot = draft.lots.want(draft.cartridge(event.cartridge).labelled.lot, "lot")
            draft.lots.put(lot.number, replace(lot, bad=lot.bad + 1))
        case ReadingReleased() | ResultWithdrawn() | ResultAmended() if event.own:
            review = OwnReview(
                at=event.at, by=event.by, about=event.cartridge, event=type(event).__name__
            )
            draft.own_acts.put(str(len(draft.own_acts.mapping) + 1), review)
        case _:
            pass
