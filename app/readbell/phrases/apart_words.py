"""What something that is kept apart said: without it nobody could enter it anew."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.errors import BrokenRecordError
from readbell.phrases.apart_bands import bands_kept, event_kept, say_seen, say_strip
from readbell.phrases.of_bay import tell

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.stations.events import ActKeptApart
    from readbell.phrases.clock_time import ClockFace

ERASED = "erased"


def say_what_it_said(kept: ActKeptApart, board: Board, face: ClockFace) -> str:
    """Return what is kept apart in a sentence: when, by whom, and what was seen or noted."""
    event = event_kept(kept)
    when = f"Done at {face.time(kept.done)}"
    by = "" if kept.by is None else f" by {board.name(kept.by) or ERASED}"
    if event is None:
        return f"{when}{by}."
    seen = say_seen(kept, board)
    if seen is not None:
        return f"{when}{by}: {seen}."
    if kept.cartridge is not None:
        step = getattr(event, "step", "")
        return f"{when}{by}: {step}." if step else f"{when}{by}."
    try:
        return f"{when}{by}: {tell(event, board, face)}"
    except (BrokenRecordError, LookupError):
        return f"{when}{by}."


def say_both_sides(cartridge: Cartridge, board: Board, face: ClockFace) -> Iterator[str]:
    """Yield what each station saw of a strip that was looked at on both sides of a cut.

    Nothing where nothing of it is kept apart any more, or while it is still to be read: whoever
    decides about it is to see all of it in one place.
    """
    reading = cartridge.reading
    kept = [
        each
        for each in board.apart.values()
        if each.cartridge == cartridge.id and bands_kept(each) is not None
    ]
    if not kept or not cartridge.has_ended:
        return
    if reading is not None and reading.second is None:  # what two readers saw is told beside it
        seen = cartridge.corrections[-1].bands if cartridge.corrections else reading.bands
        by = board.name(reading.by) or ERASED
        yield f"In the record: {say_strip(seen, cartridge)}, by {by} at {face.time(reading.at)}."
    for each in kept:
        yield f"Kept apart, from station {each.station}: {say_what_it_said(each, board, face)}"
