"""Where every running cartridge stands at one instant, worked out once for all who show it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readbell.phrases.board_words import Standing, standing
from readbell.ui.at_rest import at_rest

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant


@dataclass(frozen=True, slots=True)
class At:
    """One cartridge and where it stands."""

    cartridge: Cartridge
    stands: Standing

    @classmethod
    def of(cls, cartridge: Cartridge, now: Instant) -> At:
        """Return where `cartridge` stands at `now`."""
        return cls(cartridge, standing(cartridge, now))


class _LastAsked:
    """The answer given last: call, alert line and list ask for the same instant."""

    __slots__ = ("_kept",)

    def __init__(self) -> None:
        self._kept: tuple[Board, Instant, tuple[At, ...]] | None = None

    def of(self, board: Board, now: Instant) -> tuple[At, ...]:
        kept = self._kept
        if kept is None or kept[0] is not board or kept[1] != now:
            found = tuple(At.of(each, now) for each in at_rest(board).order)
            kept = self._kept = (board, now, found)
        return kept[2]


_LAST_ASKED = _LastAsked()


def standings(board: Board, now: Instant) -> tuple[At, ...]:
    """Return where each running cartridge stands, in the order of the rows."""
    return _LAST_ASKED.of(board, now)
