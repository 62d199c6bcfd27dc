"""Which cartridge needs a hand first.

Rule 1: by the last instant at which its next act is still in time, the soonest
first. That order does not change as time passes. Cartridges against which no
time runs come last, in the order of their labels.
Rule 2: a wait whose limit has passed has nothing more to lose, so it gives way
to all that is lost within `SOON`; it stands behind that and before the rest.

So a row moves when somebody acts, and else at two instants alone: a wait falls
back once, as its limit passes, and what comes within `SOON` of being lost steps
over the waits that are late already. Rows that are in time never change places.
"""

from __future__ import annotations

from bisect import bisect_right
from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import window
from readbell.core.instant import MINUTE, Instant, Span, earlier, later

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge

NEVER = Instant(1 << 62)

SOON = Span(5 * MINUTE)
"""What is lost within this time goes before what is late already (our own choice)."""

Turns = tuple[tuple[Instant, "Cartridge"], ...]
"""The running cartridges by rule 1, each with its last moment: as long as nobody acts, it holds."""


def by_attention(board: Board, now: Instant) -> list[Cartridge]:
    """Return the running cartridges as they stand at `now`, the one that is lost first in front."""
    return in_turn(turns(board), now)


def turns(board: Board) -> Turns:
    """Return the running cartridges by rule 1."""
    found = [(last_moment(each), each) for each in board.running.values()]
    return tuple(sorted(found, key=lambda turn: (turn[0], turn[1].ordinal)))


def in_turn(kept: Turns, now: Instant) -> list[Cartridge]:
    """Return the cartridges of `kept` by both rules; of a thousand few are looked at."""
    passed = kept[: bisect_right(kept, now, key=_moment)]
    late = [turn for turn in passed if window(turn[1]) is None]
    if not late:
        return [each for _, each in kept]
    begins = bisect_right(kept, later(now, SOON), key=_moment)
    # A second limit may run on the same cartridge: that one can still be kept.
    pressed = [(_still_to_keep(each, now), each) for _, each in late]
    soon = [turn for turn in pressed if turn[0] <= later(now, SOON)]
    known = {each.id for _, each in late}
    ahead = [turn for turn in kept[:begins] if turn[1].id not in known]
    ahead = sorted([*ahead, *soon], key=lambda turn: (turn[0], turn[1].ordinal))
    known -= {each.id for _, each in soon}
    behind = [each for _, each in late if each.id in known]
    return [*(each for _, each in ahead), *behind, *(each for _, each in kept[begins:])]


def order_holds(kept: Turns, now: Instant) -> Instant:
    """Return the first instant after `now` at which `in_turn` may order `kept` otherwise."""
    passes = bisect_right(kept, now, key=_moment)
    late = [each for _, each in kept[:passes] if window(each) is None]
    turning = [moment for moment, _ in kept[passes : passes + 1]]
    if late:
        # Only what is late already gives way to what is soon.
        begins = bisect_right(kept, later(now, SOON), key=_moment)
        turning += [earlier(moment, SOON) for moment, _ in kept[begins : begins + 1]]
        for each in late:
            for limit in _limits(each):
                turning += [at for at in (earlier(limit, SOON), limit) if at > now]
    return min(turning, default=NEVER)


def last_moment(cartridge: Cartridge) -> Instant:
    """Return until when the next act on `cartridge` is in time; NEVER if no limit is stated."""
    span = window(cartridge)
    if span is not None:
        return NEVER if span.closes is None else span.closes
    return min(_limits(cartridge), default=NEVER)


def _moment(turn: tuple[Instant, Cartridge]) -> Instant:
    return turn[0]


def _still_to_keep(cartridge: Cartridge, now: Instant) -> Instant:
    return min((each for each in _limits(cartridge) if each > now), default=NEVER)


def _limits(cartridge: Cartridge) -> Sequence[Instant]:
    return [wait.limit for wait in cartridge.running_waits if wait.limit is not None]
