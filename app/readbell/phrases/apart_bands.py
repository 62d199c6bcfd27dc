"""What was seen on a strip by something that is kept apart: counts for nothing, and is never lost."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from readbell.core.catalogue import BY_NAME, VERSIONS
from readbell.core.private import Private
from readbell.phrases.of_bands import say_bands
from readbell.shapes import shape_of

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.reading.bands import Bands
    from readbell.core.stations.events import ActKeptApart


def event_kept(kept: ActKeptApart) -> Event | None:
    """Return the event that is `kept` apart; None if it has a shape that is not the present one."""
    kind = BY_NAME.get(kept.kind)
    if kind is None or kept.version != VERSIONS.get(kept.kind, 1):
        return None
    said = None if kept.entered is None else kept.entered.value
    try:
        entered: dict[str, str] = json.loads(said) if said else {}

        def put_back(chained: dict[str, Any]) -> Private:
            key = str(chained["key"])
            return Private(key=key, salt="", value=entered.get(key))

        found: Event = shape_of(kind).read(json.loads(kept.body), put_back)
    except (ValueError, TypeError, LookupError):
        return None
    return found


def bands_kept(kept: ActKeptApart) -> Bands | None:
    """Return what was seen; None if it is about something else."""
    return getattr(event_kept(kept), "bands", None)


def say_seen(kept: ActKeptApart, board: Board) -> str | None:
    """Return what was seen, line by line; None of a strip that is still to be read.

    Nobody is told beforehand what somebody else saw.
    """
    bands = bands_kept(kept)
    if bands is None or (kept.cartridge is not None and kept.cartridge in board.running):
        return None
    cartridge = None if kept.cartridge is None else board.cartridge(kept.cartridge)
    return say_bands(bands, "C", {}) if cartridge is None else say_strip(bands, cartridge)


def say_strip(bands: Bands, cartridge: Cartridge) -> str:
    """Return `bands` in words, each line by its mark on the cartridge."""
    rules = cartridge.assay.reading
    return say_bands(bands, rules.control_mark, {each.key: each.mark for each in rules.lines})
