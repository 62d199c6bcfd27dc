"""What a supervisor may name to review it: a cartridge, or a run that was entered from paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.layered import newest
from readbell.core.instant import DAY, Span, earlier
from readbell.core.paper.events import PaperRunEntered

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant

    Reviewed = Cartridge | PaperRunEntered

A_MONTH = Span(31 * DAY)
"""A run on paper that was entered earlier is named by its opaque id alone."""


def reviewed(board: Board, named: str, now: Instant) -> Reviewed | None:
    """Return the cartridge or the run on paper with this label, or this opaque id, or None."""
    found = board.labelled(named) or board.cartridge(named) or board.paper_runs.get(named)
    if found is not None:
        return found
    for each in newest(board.paper_runs):
        if each.at < earlier(now, A_MONTH):
            break
        if each.label == named:
            return each
    return None


def key_of(found: Reviewed) -> str:
    """Return the opaque id."""
    return found.run if isinstance(found, PaperRunEntered) else found.id
