"""What stands in the large digits: the most urgent of all that runs, or of what runs here.

While this station is alone it is the most urgent of what it holds, whatever falls due elsewhere:
a strip at another bench is read by nobody here. What is held elsewhere comes after all that is held
here and is said to be elsewhere, with the mark of its station.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.attention import NEVER, last_moment
from readbell.core.board.stations import held_out_of_reach, mark_of
from readbell.core.instant import MINUTE, Instant, Span, between
from readbell.core.made_later import dataclass
from readbell.phrases.around_words import say_elsewhere, say_held_at
from readbell.phrases.board_words import CALLS, Where
from readbell.ui.beside import TO_READ
from readbell.ui.standings import AllStanding, standings

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.board.stations import Here
    from readbell.ui.standings import At

NEWS_FOR = MINUTE
"""How long a wait past its limit is news (our own choice)."""
NEAR = Span(2 * MINUTE)
"""A close within this time is near, whether or not the assay asks for a warning."""
_NONE = AllStanding(())


@dataclass(frozen=True, slots=True, kw_only=True)
class Called:
    """What stands in large digits, and what else there is."""

    top: At | None
    """None: no cartridge has anything to count."""
    among: AllStanding
    """All that it is the most urgent of, itself among them."""
    elsewhere: AllStanding = _NONE
    """What runs beside that where nobody here can work on it."""
    mark: str = ""
    """Where it is held itself, if that is out of reach: the mark of its station."""
    held_at: str = ""
    """The same in words."""

    @property
    def calls_elsewhere(self) -> tuple[At, ...]:
        """What calls for somebody where nobody here can go on with it."""
        return self.elsewhere.of(*CALLS)


def called(board: Board, now: Instant, here: Here | None) -> Called:
    """Return what stands in the large digits; `here` is None where nobody shares the bay."""
    every = standings(board, now)
    if here is None or not here.is_alone:
        return Called(top=largest(every, now), among=every)
    ours = AllStanding(each for each in every if here.holds(board, each.cartridge.id))
    top = largest(ours, now)
    if top is not None:
        theirs = (each for each in every if not here.holds(board, each.cartridge.id))
        return Called(top=top, among=ours, elsewhere=AllStanding(theirs))
    top = largest(every, now)
    station = None if top is None else held_out_of_reach(board, top.cartridge.id, here)
    if station is None:
        return Called(top=top, among=every)
    mark = say_elsewhere(mark_of(board, station))
    return Called(top=top, among=every, mark=mark, held_at=say_held_at(station))


def largest(found: AllStanding, now: Instant) -> At | None:
    """Return what is the most urgent of `found`, None where nothing of it has anything to count."""
    return most_urgent(found, now) or found.next_due


def most_urgent(found: AllStanding, now: Instant) -> At | None:
    """Return what calls loudest, by the rule of the call."""
    return min(found.of(*CALLS), key=lambda each: _urgency(each, now), default=None)


def _urgency(each: At, now: Instant) -> tuple[int, int, int]:
    where, due = each.stands.where, each.stands.due
    moment = last_moment(each.cartridge)
    if where in TO_READ:
        is_near = where is Where.CLOSING or between(now, moment) <= NEAR
        rank = 1 if is_near else 3
    elif where is Where.OVERDUE:
        rank = 2 if due is not None and between(due, now) < NEWS_FOR else 4
    else:
        rank = 3 if moment != NEVER else 5
    return (rank, moment, each.cartridge.ordinal)
