"""What a virtual cartridge really showed, and what a right reading of it comes to.

The device itself goes before the person: one that is made to show something of its own, and one
whose label a colleague took for another's.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import Span, between
from readbell.core.reading.interpretation import judge_window
from readbell.core.rehearsal.virtual_cartridge import Shows, bands_after, drawn_after

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.reading.bands import Bands
    from readbell.core.reading.interpretation import LineOutcome
    from readbell.core.rehearsal.scenario import Scenario
    from readbell.core.rehearsal.virtual_cartridge import Drawn


def shows_of(scenario: Scenario, board: Board, cartridge: Cartridge, now: Instant) -> Shows:
    """Return what the device that bears the label of `cartridge` shows at `now` and after.

    Of a device with a swapped label that is what the other would, once both are labelled.
    """
    meant = cartridge
    if is_swapped(scenario, board, cartridge, now):
        meant = board.labelled(scenario.device(cartridge.label)) or cartridge
    return scenario.shows(meant.label, board.name(meant.labelled.subject))


def is_swapped(scenario: Scenario, board: Board, cartridge: Cartridge, now: Instant) -> bool:
    """Say whether a colleague has taken `cartridge` for another by `now`: both had their labels."""
    device = scenario.device(cartridge.label)
    other = None if device == cartridge.label else board.labelled(device)
    return other is not None and other.labelled.at <= now


def drawn_at(scenario: Scenario, board: Board, cartridge: Cartridge, now: Instant) -> Drawn:
    """Return what is to be drawn of `cartridge` at `now`; before the drops a blank strip."""
    applied = cartridge.applied
    if applied is None:
        return drawn_after(Shows(control_from=None), _lines(cartridge), Span(0))
    shows = shows_of(scenario, board, cartridge, now)
    return drawn_after(shows, _lines(cartridge), between(applied.said, now))


def seen_at(scenario: Scenario, board: Board, cartridge: Cartridge, now: Instant) -> Bands:
    """Return the bands that a reader who sees rightly enters at `now`; before the drops as at them."""
    applied = cartridge.applied
    elapsed = Span(0) if applied is None else between(applied.said, now)
    return bands_after(shows_of(scenario, board, cartridge, now), _lines(cartridge), elapsed)


def right_outcomes(cartridge: Cartridge, seen: Bands) -> tuple[LineOutcome, ...]:
    """Return what each line comes to by `seen`, whatever was taken early."""
    return judge_window(cartridge.assay.line_keys, seen, ())


def _lines(cartridge: Cartridge) -> tuple[tuple[str, str], ...]:
    return tuple((line.key, line.mark) for line in cartridge.assay.reading.lines)
