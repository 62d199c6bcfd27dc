"""Cartridges that ran too cold or too warm, as only the other side of a cut link could tell.

Whoever notes a temperature names what runs as far as they know. What was begun on the other
side meanwhile stood at the same bench.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.events import CartridgeLabelled
from readbell.core.climate.events import TemperatureNoted, Where

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant


def out_of_range(
    board: Board, theirs: Sequence[Event], ours: Sequence[Event]
) -> Iterator[Cartridge]:
    """Yield each patient's cartridge that may have run out of the range of its assay.

    Args:
        board: with both sides on it.
        theirs: what the others recorded meanwhile.
        ours: what was done alone.
    """
    figures = tuple(
        each
        for each in (*theirs, *ours)
        if isinstance(each, TemperatureNoted) and each.where is Where.BAY
    )
    for noted, begun in ((theirs, ours), (ours, theirs)):
        excursions = [each for each in figures if each.outside and each in noted]
        started = [each.cartridge for each in begun if isinstance(each, CartridgeLabelled)]
        for cartridge in map(board.cartridge, started):
            if cartridge is None or not is_patients(cartridge):
                continue
            if any(_ran_at(cartridge, each, figures) for each in excursions):
                yield cartridge


def _ran_at(
    cartridge: Cartridge, excursion: TemperatureNoted, figures: Sequence[TemperatureNoted]
) -> bool:
    """Say whether `cartridge` may have run when, or since, it was out of range."""
    assay = cartridge.labelled.assay
    if assay not in excursion.outside or cartridge.labelled.at > excursion.at:
        return False
    read = cartridge.reading
    return read is None or not _was_good_between(read.at, excursion.at, assay, figures)


def _was_good_between(
    since: Instant, until: Instant, assay: str, figures: Sequence[TemperatureNoted]
) -> bool:
    good = (each.at for each in figures if assay not in each.outside)
    return any(since <= at <= until for at in good)
