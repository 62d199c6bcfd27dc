"""The even stagger: one person every so many seconds, for ever, by a crew of so many.

Any operator may do any piece. What counts is then how many pieces are in hand at
one instant: never more than there are operators, for an endless line of such pieces
can always be shared out among so many hands. Whole seconds are tried one after the
other, from what the work itself asks for. For each, every way in which the pieces of
a person can hang together is tried: a piece that is as early as it can be stands at
the end of its gap or against another piece, so there are only a few places for each.
"""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING

from readbell.core.instant import SECOND, Span
from readbell.core.made_later import dataclass
from readbell.core.plan.cyclic import least_work, shortest_round
from readbell.core.plan.gaps import ties_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from readbell.core.plan.gaps import Tie
    from readbell.core.plan.work import Work


class StaggerRule(StrEnum):
    """How a stagger was found."""

    ONE_PAIR = "one-pair-of-hands"
    """One operator: every order was tried; exact."""
    SHARED = "shared-pieces"
    """Any operator does any piece; every whole second from the bound on was tried."""
    OWN_CARTRIDGES = "own-cartridges"
    """Each operator keeps to their own cartridges and takes every so-many-th person."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stagger:
    """The smallest even interval between two starts that can go on for ever."""

    interval: Fraction
    """Milliseconds from one start to the next."""
    bound: Fraction
    """No crew of this size can do with less on average, whatever the order."""
    rule: StaggerRule
    proven: bool
    """Whether no smaller even interval (of whole seconds, where the rule counts in them) does."""


def even_stagger(work: Work, operators: int) -> Stagger | None:
    """Return the smallest even stagger of a crew, or None if one cartridge cannot keep its limits.

    Args:
        work: the work of one cartridge, taken at usual times.
        operators: how many pairs of hands, from 1.
    """
    found = shortest_round(work, 1)
    if found.round is None:
        return None
    bound, interval = Fraction(least_work(work), operators), found.round.period / operators
    own = Stagger(
        interval=interval,
        bound=bound,
        rule=StaggerRule.ONE_PAIR if operators == 1 else StaggerRule.OWN_CARTRIDGES,
        proven=interval == bound or (operators == 1 and found.proven),
    )
    if operators == 1 or own.proven:
        return own
    shared = _shared(work, operators, bound, own.interval)
    return own if shared is None else shared


def _shared(work: Work, operators: int, bound: Fraction, below: Fraction) -> Stagger | None:
    """Return the smallest stagger of whole seconds below `below`, or None.

    Each touch is given a change of gloves here, though some might have been spared.
    """
    changes = work.gloves * sum(piece.touches for piece in work.pieces)
    first = -(-Fraction(work.hands.usual + changes, operators) // SECOND)
    for seconds in range(first, int(-(-below // SECOND))):
        if _Crew(work, operators, Span(seconds * SECOND)).has_room():
            return Stagger(
                interval=Fraction(seconds * SECOND),
                bound=bound,
                rule=StaggerRule.SHARED,
                proven=not changes or seconds == -(-bound // SECOND),
            )
    return None


@dataclass(frozen=True, slots=True)
class _Taken:
    """A piece in hand, from putting on gloves to its end; times from the first piece on."""

    begins: int
    gloves: int
    takes: int

    @property
    def from_(self) -> int:
        return self.begins - self.gloves

    @property
    def until(self) -> int:
        return self.begins + self.takes


class _Crew:
    """Looks for places for the pieces of a person, with one person every `period`."""

    def __init__(self, work: Work, operators: int, period: Span) -> None:
        self._work = work
        self._operators = operators
        self._period = period
        self._ties = ties_of(work)

    def has_room(self) -> bool:
        """Say whether there are places where never more pieces are in hand than operators."""
        return self._place({0: self._taken(0, 0)})

    def _place(self, placed: Mapping[int, _Taken]) -> bool:
        if self._most_at_once(placed.values()) > self._operators:
            return False
        if len(placed) == len(self._work.pieces):
            return True
        for piece in range(len(self._work.pieces)):
            if piece not in placed:
                for begins in sorted(set(self._places(piece, placed))):
                    if self._place({**placed, piece: self._taken(piece, begins)}):
                        return True
        return False

    def _taken(self, piece: int, begins: int) -> _Taken:
        this = self._work.pieces[piece]
        return _Taken(begins, self._work.gloves if this.touches else 0, this.hands.usual)

    def _places(self, piece: int, placed: Mapping[int, _Taken]) -> Iterator[int]:
        """Yield where `piece` may stand: at an end of its gaps, or against a piece that stands."""
        least, most = self._range(piece, placed)
        if least > most:
            return
        yield from (least, most)
        mine = self._taken(piece, 0)
        for other in placed.values():
            for against in (other.until + mine.gloves, other.from_ - mine.takes):
                first = against + -(-(least - against) // self._period) * self._period
                yield from range(first, most + 1, self._period)

    def _range(self, piece: int, placed: Mapping[int, _Taken]) -> tuple[int, int]:
        """Return the earliest and the latest that `piece` may begin, as far as is settled."""
        takes = self._work.pieces[piece].hands.usual
        least, most = self._from_the_first(piece)
        for tie in self._ties:
            if tie.second == piece and tie.first in placed:
                least = max(least, placed[tie.first].until + tie.least)
                most = min(most, placed[tie.first].until + self._end(tie))
            if tie.first == piece and tie.second in placed:
                least = max(least, placed[tie.second].begins - self._end(tie) - takes)
                most = min(most, placed[tie.second].begins - tie.least - takes)
        return least, most

    def _from_the_first(self, piece: int) -> tuple[int, int]:
        """Return the earliest and the latest that `piece` may begin after the first, by itself."""
        steps = [tie for tie in self._ties if tie.second - tie.first == 1 and tie.second <= piece]
        before = sum(each.hands.usual for each in self._work.pieces[:piece])
        return (
            before + sum(tie.least for tie in steps),
            before + sum(self._end(tie) for tie in steps),
        )

    def _end(self, tie: Tie) -> int:
        """Return the end of a gap; where it has none, so far that a round more is nothing new."""
        whole = len(self._work.pieces) * self._period
        return tie.least + whole if tie.most is None else tie.most

    def _most_at_once(self, placed: Iterable[_Taken]) -> int:
        """Return how many pieces are in hand at the busiest instant."""
        turns = [(each.from_, each.until - each.from_) for each in placed]
        # A piece as long as a period or longer is in hand several times over.
        return max(
            sum(
                -(-(length - (instant - begins) % self._period) // self._period)
                for begins, length in turns
            )
            for instant, _ in turns
        )
