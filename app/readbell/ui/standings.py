"""Where every running cartridge stands at one instant, worked out once for all who show it."""

from __future__ import annotations

from collections import defaultdict
from functools import cached_property
from typing import TYPE_CHECKING

from readbell.core.board.attention import order_holds
from readbell.core.cartridge.at_instant import window
from readbell.core.made_later import dataclass
from readbell.phrases.board_words import (
    FOREVER,
    Standing,
    Where,
    changes_within,
    standing,
    standing_within,
)
from readbell.ui.at_rest import at_rest, order_at

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant

_FOR_HANDS = (Where.LABELLED, Where.PREPARING, Where.DO_WITHIN)
"""A hand may go on with these at any time."""
_DATED = (Where.WAITING, Where.DEVELOPING, Where.EARLY_LOOK, Where.DO_WITHIN)
"""Nothing calls yet, and it is known when something will."""


@dataclass(frozen=True, slots=True)
class At:
    """One cartridge and where it stands."""

    cartridge: Cartridge
    stands: Standing

    @classmethod
    def of(cls, cartridge: Cartridge, now: Instant) -> At:
        """Return where `cartridge` stands at `now`."""
        return cls(cartridge, standing(cartridge, now))


class AllStanding:
    """Where all stand, in the order of the rows; a value, and sorted out but once."""

    def __init__(self, every: Iterable[At]) -> None:
        self._every = tuple(every)

    def __iter__(self) -> Iterator[At]:
        return iter(self._every)

    def __len__(self) -> int:
        return len(self._every)

    @cached_property
    def by_kind(self) -> Mapping[Where, tuple[At, ...]]:
        """All of a kind, each kind in the order of the rows; what nobody is, is left out."""
        kinds: dict[Where, list[At]] = defaultdict(list)
        for each in self._every:
            kinds[each.stands.where].append(each)
        return {where: tuple(members) for where, members in kinds.items()}

    def of(self, *kinds: Where) -> tuple[At, ...]:
        """Return all of `kinds`, one kind after the other."""
        found = (self.by_kind.get(where, ()) for where in kinds)
        return tuple(each for members in found for each in members)

    @property
    def for_hands(self) -> int:
        """How many a hand may go on with at any time."""
        return len(self.of(*_FOR_HANDS))

    @cached_property
    def coming(self) -> tuple[At, ...]:
        """What calls for nobody yet and will, the soonest first."""
        dated = [each for each in self.of(*_DATED) if each.stands.due is not None]
        return tuple(sorted(dated, key=_due))

    @cached_property
    def next_due(self) -> At | None:
        """What is next where nothing calls.

        First the step that is due before the drops, since the longest time; then what
        falls due first; then what a hand may go on with.
        """
        steps = self.of(Where.STEP_DUE)
        if steps:
            return min(steps, key=_due)
        if self.coming:
            return self.coming[0]
        return min(self.of(*_FOR_HANDS), key=_due, default=None)


def _due(each: At) -> tuple[int, int]:
    return (each.stands.due or 0, each.cartridge.ordinal)


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
        span = window(cartridge)
        at = At(cartridge, standing_within(cartridge, span, now))
        return cls(at, now, changes_within(cartridge, span, now))


@dataclass(frozen=True, slots=True)
class _Kept:
    """The whole answer, and for how long nothing of it changes if nobody acts."""

    board: Board
    begins: Instant
    ends: Instant
    found: AllStanding

    def holds(self, board: Board, now: Instant) -> bool:
        return self.board is board and self.begins <= now < self.ends


class _LastAsked:
    """The answers given last; each is worked out anew only once it may have changed.

    Call, alert line and list ask for the same instant, and the next second for
    the next: mostly nothing at all has changed between the two, and if it has,
    then for few of a thousand cartridges.
    """

    __slots__ = ("_held", "_kept")

    def __init__(self) -> None:
        self._held: dict[str, _Held] = {}
        self._kept: _Kept | None = None

    def of(self, board: Board, now: Instant) -> AllStanding:
        kept = self._kept
        if kept is None or not kept.holds(board, now):
            order = order_at(board, now)
            self._held = held = {each.id: self._of(each, now) for each in order}
            ends = min((each.ends for each in held.values()), default=FOREVER)
            ends = min(ends, order_holds(at_rest(board).turns, now))
            found = AllStanding(each.at for each in held.values())
            self._kept = kept = _Kept(board, now, ends, found)
        return kept.found

    def _of(self, cartridge: Cartridge, now: Instant) -> _Held:
        held = self._held.get(cartridge.id)
        if held is None or not held.holds(cartridge, now):
            return _Held.of(cartridge, now)
        return held


_LAST_ASKED = _LastAsked()


def standings(board: Board, now: Instant) -> AllStanding:
    """Return where each running cartridge stands, in the order of the rows."""
    return _LAST_ASKED.of(board, now)
