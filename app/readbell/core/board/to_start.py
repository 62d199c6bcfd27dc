"""Whose turn is next: who came in a party and has no cartridge yet.

A party is registered at once, yet each pouch is opened only at its person's
turn, so that no device stands open or labelled ahead.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from readbell.core.board.board import Board


def to_start(board: Board) -> tuple[str, ...]:
    """Return the keys of those still to be started, the first party's first, in its order.

    Whoever came again with a later party waits with that one alone.
    """
    return tuple(board.waiting)
