"""Who is still owed a fresh cartridge.

Rule: a cartridge of which nothing reportable came (invalid, lapsed, withheld or
void) is owed a repeat until its person has a later cartridge of the same assay, and
while nothing else of the visit runs or gave a result that stands (`owing`).
Whoever declined, or left, is owed none.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import closed_unread
from readbell.core.instant import MINUTE, Instant, Span, between

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge

STAYS = Span(30 * MINUTE)
"""How long a lapsed cartridge stays in sight unless it is repeated (our own choice)."""


def to_repeat(board: Board) -> tuple[Cartridge, ...]:
    """Return the ended cartridges that are owed a repeat, in the order of their labels."""
    return tuple(sorted((board.ended[each] for each in board.owed), key=_by_ordinal))


def lately_lapsed(owed: Iterable[Cartridge], now: Instant) -> tuple[Cartridge, ...]:
    """Return those of `owed` whose window closed lately, the longest ago first."""
    found = [
        (closed, each.ordinal, each)
        for each in owed
        if (closed := closed_unread(each)) is not None and between(closed, now) < STAYS
    ]
    return tuple(each for _, _, each in sorted(found, key=lambda entry: entry[:2]))


def _by_ordinal(cartridge: Cartridge) -> int:
    return cartridge.ordinal
