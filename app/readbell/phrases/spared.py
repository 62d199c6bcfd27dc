"""That somebody of whose cartridge nothing came is owed no repeat, as another one of theirs stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.owing import spares

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge


def say_spared(board: Board, cartridge: Cartridge) -> str:
    """Return what spares the person of `cartridge` a repeat; nothing where nothing does."""
    found = spares(board, cartridge)
    if found is None:
        return ""
    return f"No repeat is due: {found.label} of the same person runs or has a result."
