"""Kits kept cold warm up before they are used.

A leaflet says: stored below 15 C, stand about half an hour at room temperature
before use; the assay file has the figure of the kit in hand. A device run cold
develops slowly, so a negative may come of it that is none.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import later
from readbell.core.stock.events import Storage

if TYPE_CHECKING:
    from readbell.core.instant import Instant, Span
    from readbell.core.stock.lot import Lot


def warm_from(lot: Lot, warm_up: Span | None) -> Instant | None:
    """Return from when kits of `lot` that are out of the cold are warm; None: there is none.

    Only for a lot that must warm up: ask `must_warm` first.
    """
    if lot.taken_out is None or warm_up is None:
        return None
    return later(lot.taken_out, warm_up)


def must_warm(lot: Lot, warm_up: Span | None) -> bool:
    """Say whether kits of `lot` are kept cold and their assay asks for a time to warm up."""
    return lot.storage is Storage.COLD and warm_up is not None


def is_cold(lot: Lot, warm_up: Span | None, now: Instant) -> bool:
    """Say whether a kit of `lot` may still be too cold to be used at `now`."""
    if not must_warm(lot, warm_up):
        return False
    warm = warm_from(lot, warm_up)
    return warm is None or now < warm
