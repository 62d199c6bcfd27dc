"""Where every running cartridge stands at one instant, worked out once for all who show it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readbell.phrases.board_words import Standing, changes_at, standing
from readbell.ui.at_rest import order_at

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


@dataclass(frozen=True, slots=True)
class _Held:
    """Where one cartridge stands, and for how long that holds if nobody acts."""

    at: At
    begins: Instant
    ends: Instant
    """The first instant at which it may stand elsewhere."""

    def holds(self, cartridge: Cartridge, now: Instant) -> bool:
        return self.at.cartridge is cartridge and self.begins <= now < self.ends

    @classmethod
    def of(cls, cartridge: Cartridge, now: Instant) -> _Held:
        return cls(At.of(cartridge, now), now, changes_at(cartridge, now))


class _LastAsked:
    """The answers given last; each is worked out anew only once it may have changed.

    Call, alert line and list ask for the same instant, and the next second for
    the next: of a thousand cartridges few change between the two.
    """

    __slots__ = ("_held", "_kept")

    def __init__(self) -> None:
        self._held: dict[str, _Held] = {}
        self._kept: tuple[Board, Instant, tuple[At, ...]] | None = None

    def of(self, board: Board, now: Instant) -> tuple[At, ...]:
        kept = self._kept
        if kept is None or kept[0] is not board or kept[1] != now:
            order = order_at(board, now)
            held = {each.id: self._of(each, now) for each in order}
            found = tuple(each.at for each in held.values())
            self._held, self._kept = held, (board, now, found)
            return found
        return kept[2]

    def _of(self, cartridge: Cartridge, now: Instant) -> _Held:
        held = self._held.get(cartridge.id)
        if held is None or not held.holds(cartridge, now):
            return _Held.of(cartridge, now)
        return held


_LAST_ASKED = _LastAsked()


def standings(board: Board, now: Instant) -> tuple[At, ...]:
    """Return where each running cartridge stands, in the order of the rows."""
    return _LAST_ASKED.of(board, now)
