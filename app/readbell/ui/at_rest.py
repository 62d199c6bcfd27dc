"""What a board says whatever the time is: worked out once a board, not once a second."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readbell.core.board.attention import by_attention
from readbell.core.board.to_repeat import to_repeat
from readbell.core.board.to_start import to_start
from readbell.core.cartridge.at_instant import window

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.cartridge.window import Window
    from readbell.core.instant import Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class AtRest:
    """The order of rows changes only when somebody acts, so it is a board's own."""

    order: tuple[Cartridge, ...]
    """The running cartridges, the one that is lost first in front."""
    owed: tuple[Cartridge, ...]
    """The ended ones that are owed a repeat."""
    waiting: tuple[str, ...]
    """Who came in a party and is still to be begun, by key."""
    readings: tuple[Instant, ...]
    """When each strip that was read was read."""
    has_places: bool
    """Whether it is known of any running cartridge where it lies."""
    windows: tuple[Window, ...]
    """The read windows of those that run and may give an outcome."""


class _LastSeen:
    """The board asked about last; boards are values, so the same object says the same."""

    __slots__ = ("_kept",)

    def __init__(self) -> None:
        self._kept: tuple[Board, AtRest] | None = None

    def of(self, board: Board) -> AtRest:
        kept = self._kept
        if kept is None or kept[0] is not board:
            kept = self._kept = (board, _work_out(board))
        return kept[1]


_LAST_SEEN = _LastSeen()


def at_rest(board: Board) -> AtRest:
    """Return what `board` says at any time; asked again of the same board it costs nothing."""
    return _LAST_SEEN.of(board)


def _work_out(board: Board) -> AtRest:
    order = tuple(by_attention(board))
    spans = (window(each) for each in order if not each.unsure)
    return AtRest(
        order=order,
        owed=to_repeat(board),
        waiting=to_start(board),
        readings=tuple(
            each.reading.at for each in board.ended.values() if each.reading is not None
        ),
        has_places=any(each.labelled.place is not None for each in order),
        windows=tuple(span for span in spans if span is not None and not span.is_empty),
    )
