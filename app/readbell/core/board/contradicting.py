"""A repeat that says otherwise than a positive seen early on the one it repeats.

That one was withheld, because its own two looks disagree. Which of them the repeat is right
about is not for the program to say: the repeat waits for a supervisor.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.events import CartridgeRead, ReadingCorrected
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge


def with_contradiction(
    board: Board, cartridge: Cartridge, decided: tuple[Event, ...] | Refusal
) -> tuple[Event, ...] | Refusal:
    """Return what comes of a reading, with a hold if it contradicts what was seen early before.

    Of a reading that a second person has still to make nothing is said: it would give the
    first one away.
    """
    if isinstance(decided, Refusal):
        return decided
    event = decided[0]
    assert isinstance(event, (CartridgeRead, ReadingCorrected))  # noqa: S101  # nothing else comes of one
    reason = HoldReason.CONTRADICTS_EARLIER
    open_still = isinstance(event, CartridgeRead) and event.second is not None
    corrected_meanwhile = isinstance(event, ReadingCorrected) and cartridge.awaits_second
    if open_still or corrected_meanwhile or reason in cartridge.held:
        return decided
    negative = {each.line for each in event.outcomes if each.outcome is Outcome.NEGATIVE}
    if not any(negative.intersection(each) for each in _seen_early(board, cartridge)):
        return decided
    by = event.by if event.by in board.names else None
    return *decided, ReadingHeld(at=event.at, by=by, cartridge=cartridge.id, reasons=(reason,))


def _seen_early(board: Board, cartridge: Cartridge) -> Iterator[tuple[str, ...]]:
    """Yield the analytes seen early and withheld then, of each that `cartridge` repeats."""
    key = cartridge.labelled.repeat_of
    while key is not None and (found := board.cartridge(key)) is not None:
        if found.withdrawn is None:
            withheld = {each.line for each in found.outcomes if each.outcome is Outcome.WITHHELD}
            yield tuple(line for line in found.early_lines if line in withheld)
        key = found.labelled.repeat_of
