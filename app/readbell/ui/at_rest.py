"""What a board says whatever the time is: worked out once a board, not once a second."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from readbell.core.board.attention import Turns, in_turn, turns
from readbell.core.board.layered import newest
from readbell.core.board.review import awaiting_review
from readbell.core.board.subjects import is_behind
from readbell.core.board.to_repeat import to_repeat
from readbell.core.board.to_start import to_start
from readbell.core.cartridge.at_instant import window
from readbell.core.instant import MINUTE, Instant, Span, earlier
from readbell.core.made_later import dataclass
from readbell.ui.tags import cells_for
from readbell.ui.turning import Turning

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge

LONGEST_DAY = Span(25 * 60 * MINUTE)
"""As long as a day by the wall clock ever is."""


@dataclass(frozen=True, kw_only=True)
class AtRest:
    """What changes only when somebody acts, so it is a board's own."""

    board: Board
    turns: Turns
    """The running cartridges, each with its last moment, the one that is lost first in front."""
    owed: tuple[Cartridge, ...]
    """The ended ones that are owed a repeat."""
    waiting: tuple[str, ...]
    """Who came in a party and is still to be begun, by key."""
    held: int
    """How many results wait for a supervisor."""
    has_places: bool
    """Whether it is known of any running cartridge where it lies."""
    turning: Turning
    """The read windows of those that run and may give an outcome."""
    labels: tuple[str, ...]
    """Of all that the list may hold."""
    tag_cells: int
    """How wide the tags of the list are to be."""

    @cached_property
    def readings(self) -> tuple[Instant, ...]:
        """When each strip was read, as far back as the day of the last one may reach.

        Worked out when asked for, which is when nothing runs: it looks at a whole day.
        """
        return _lately_read(self.board)


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


def order_at(board: Board, now: Instant) -> list[Cartridge]:
    """Return the running cartridges as they stand at `now`, the one that is lost first in front."""
    return in_turn(at_rest(board).turns, now)


def _lately_read(board: Board) -> tuple[Instant, ...]:
    """Return when strips were read; what was read a day before another is not looked at."""
    found: list[Instant] = []
    for each in newest(board.ended):
        if each.reading is None:
            continue
        if found and is_behind(board, each.reading.at, earlier(found[0], LONGEST_DAY)):
            break
        found.append(each.reading.at)
    return tuple(sorted(found))


def _work_out(board: Board) -> AtRest:
    kept, owed = turns(board), to_repeat(board)
    order = [each for _, each in kept]
    spans = (window(each) for each in order if not each.unsure)
    labels = tuple(each.label for each in (*board.running.values(), *owed))
    return AtRest(
        board=board,
        turns=kept,
        owed=owed,
        waiting=to_start(board),
        held=len(awaiting_review(board)),
        has_places=any(each.labelled.place is not None for each in order),
        turning=Turning(span for span in spans if span is not None and not span.is_empty),
        labels=labels,
        tag_cells=cells_for(labels),
    )
