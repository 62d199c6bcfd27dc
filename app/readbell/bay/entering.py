"""What somebody wrote down becomes an act: with the bands, the day and the names it needs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.bay.site_time import day_began, day_ends, site_date, time_zone
from readbell.core.board.entry import Setting, bands_of, to_act
from readbell.core.private import Private
from readbell.core.reading.bands import Bands

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.bay.identifiers import Identifiers
    from readbell.core.board.acts import Act
    from readbell.core.board.board import Board
    from readbell.core.board.entry import Entry
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant

    Shown = Callable[[Cartridge, Instant], Bands]


def nothing_shown(cartridge: Cartridge, now: Instant) -> Bands:  # noqa: ARG001  # a real strip tells nothing
    """Return what the program sees of a real strip: nothing."""
    return Bands()


def understood(
    entry: Entry, shown: Shown, board: Board, now: Instant, wall: int, identifiers: Identifiers
) -> Act:
    """Return the act that `entry` asks for at `now`, when the wall clock of the bay shows `wall`."""
    cartridge = board.labelled(entry.cartridge)
    bands = Bands()
    if cartridge is not None:
        bands = bands_of(entry, cartridge.assay, shown(cartridge, now))
    founded = board.founded
    zone = time_zone("UTC" if founded is None else founded.timezone)
    setting = Setting(
        now=now,
        today=site_date(wall, zone),
        day_began=day_began(now, wall, zone),
        new_id=identifiers.new,
        keep_apart=lambda value: kept_apart(identifiers, value),
        day_ends=lambda day: day_ends(day, zone),
    )
    return to_act(entry, setting, bands)


def kept_apart(identifiers: Identifiers, value: str) -> Private:
    """Return `value` as it is kept beside the chain, under a key of its own."""
    return Private(key=identifiers.new("private"), salt=identifiers.new("salt"), value=value)
