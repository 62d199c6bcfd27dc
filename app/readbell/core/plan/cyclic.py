"""How soon the work of a few cartridges can repeat for ever on one pair of hands.

The hands keep usual times exactly. A round takes on `people` new cartridges and
does every piece of work once for each of them, on whichever round's cartridge it
falls due. What is searched is in which order the pieces follow each other within a
round, and how many rounds after its first piece each later piece is done; for each
such choice the shortest round is known exactly (`period.py`). The search is a
branch and bound: an order is given up as soon as what is settled of it cannot be
shorter than the best so far. With one person to a round it enumerates in no time;
with two or three it is exact as long as it was not cut short, and says so.
"""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from readbell.core.instant import Span
from readbell.core.made_later import dataclass
from readbell.core.plan.gaps import Tie, fits_inside, ties_of
from readbell.core.plan.period import Before, Repeat, shortest_repeat

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from readbell.core.plan.work import Work

NODES = 400_000
"""How many partial orders are looked at before the search gives up; half a minute."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One piece of work in a round."""

    person: int
    """Which of the new people of a round, from 0."""
    piece: int
    """Place in `Work.pieces`."""
    rounds: int
    """How many rounds after that person's first piece this one is done."""
    begins: Fraction
    """Milliseconds into the round, fresh gloves already on."""
    fresh_gloves: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """What one pair of hands does over and over."""

    people: int
    period: Fraction
    """Milliseconds from one round to the next."""
    turns: tuple[Turn, ...]
    """In the order of the work."""

    @property
    def apart(self) -> Fraction:
        """Milliseconds from one person to the next, on average."""
        return self.period / self.people


def alone(work: Work) -> Span | None:
    """Return how long one cartridge takes by itself, or None if it cannot keep its own limits."""
    if not fits_inside(work):
        return None
    lags = [
        each
        for tie in ties_of(work)
        for each in _kept(work, tie, tie.first, tie.second, 0, tie.most)
    ]
    # Nothing repeats here, so any period serves to ask for the earliest beginnings.
    found = shortest_repeat(len(work.pieces), lags, at_least=Fraction(1))
    return None if found is None else Span(int(found.begins[-1]) + work.reading.hands.usual)


def least_work(work: Work) -> Span:
    """Return what no way of working can do without on one cartridge: its work, and gloves once."""
    touches = any(piece.touches for piece in work.pieces)
    return Span(work.hands.usual + (work.gloves if touches else 0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What a search came to."""

    round: Round | None
    """The shortest that was found; None if there is none, or none below what was asked."""
    proven: bool
    """Whether everything was looked at, so that there is no shorter one."""


def shortest_round(
    work: Work, people: int, *, below: Fraction | None = None, nodes: int = NODES
) -> Found:
    """Return the shortest round of `people` cartridges on one pair of hands.

    Args:
        work: the work of one cartridge; its lags are taken at usual times.
        people: new cartridges in each round, from 1.
        below: only a round shorter than this is of interest; None: as long as it takes to
            serve them one after the other.
        nodes: partial orders to look at before giving up.
    """
    whole = alone(work)
    if whole is None:
        return Found(round=None, proven=True)
    serial = Fraction(people * (whole + len(work.pieces) * work.gloves) + 1)
    search = _Search(work, people, serial if below is None else below, nodes)
    search.explore()
    best = search.best
    return Found(
        round=None
        if best is None
        else Round(people=people, period=best.period, turns=search.turns),
        proven=not search.cut_short,
    )


@dataclass(frozen=True, slots=True)
class _Op:
    """One piece for one person of the round."""

    person: int
    piece: int


class _Search:
    """The branch and bound; keeps the best round so far and how much was looked at."""

    def __init__(self, work: Work, people: int, below: Fraction, nodes: int) -> None:
        self.best: Repeat | None = None
        self.turns: tuple[Turn, ...] = ()
        self.cut_short = False
        self._work = work
        self._ties = ties_of(work)
        # Where each piece hangs from one other alone, a gap may be cut to the width of a round.
        self._is_tree = len({tie.second for tie in self._ties}) == len(self._ties)
        self._below = below
        self._left = nodes
        self._ops = [
            _Op(person, piece) for person in range(people) for piece in range(len(work.pieces))
        ]
        self._floor = Fraction(people * least_work(work))
        self._done = False

    def explore(self) -> None:
        """Look at every order that may be shorter than the best."""
        self._extend([0], {0: 0}, [], self._floor)

    def _extend(
        self, order: list[int], rounds: dict[int, int], lags: list[Before], floor: Fraction
    ) -> None:
        """Try each piece that may come next after those in `order`."""
        if len(order) == len(self._ops):
            self._close(order, rounds, lags, floor)
            return
        for op in self._may_follow(order):
            for count, kept in self._placements(op, rounds, floor):
                if self._done:
                    return
                if self._left == 0:
                    self.cut_short = True
                    return
                self._left -= 1
                after = {**rounds, op: count}
                longer = [*order, op]
                tied = [*lags, *kept, self._follows(longer, after)]
                found = shortest_repeat(
                    len(self._ops),
                    [*tied, self._still_to_fit(longer)],
                    at_least=floor,
                    below=self._below,
                )
                if found is not None:
                    self._extend(longer, after, tied, found.period)

    def _close(
        self, order: list[int], rounds: dict[int, int], lags: list[Before], floor: Fraction
    ) -> None:
        """Let the round begin anew after the last piece, and keep it if it is the best."""
        gloved = self._gloves(order, rounds)
        takes = self._takes(order[-1])
        first_touch = next((op for op in order if self._touches(op)), None)
        changed = 0 if first_touch is None or not gloved[first_touch] else self._work.gloves
        closing = [Before(order[-1], order[0], takes, 1)]
        if first_touch is not None:
            # Only now it is known whose specimen these hands touched last.
            place = order.index(first_touch)
            before = order[place - 1]
            height = 1 if place == 0 else 0
            closing.append(Before(before, first_touch, self._takes(before) + changed, height))
        found = shortest_repeat(
            len(self._ops), [*lags, *closing], at_least=floor, below=self._below
        )
        if found is None:
            return
        self.best, self._below = found, found.period
        self._done = found.period == self._floor
        self.turns = tuple(
            Turn(
                person=self._ops[op].person,
                piece=self._ops[op].piece,
                rounds=rounds[op],
                begins=found.begins[op],
                fresh_gloves=gloved[op],
            )
            for op in order
        )

    def _may_follow(self, order: Sequence[int]) -> Iterator[int]:
        """Yield what is not placed yet; people are alike, so their first pieces keep their order."""
        for op, this in enumerate(self._ops):
            if op in order:
                continue
            earlier = op - len(self._work.pieces)
            if this.piece == 0 and earlier > 0 and earlier not in order:
                continue
            yield op

    def _placements(
        self, op: int, rounds: Mapping[int, int], floor: Fraction
    ) -> Iterator[tuple[int, list[Before]]]:
        """Yield each count of rounds at which `op` may be done, with the lags this settles."""
        piece = self._ops[op].piece
        base = op - piece
        ties = [
            tie
            for tie in self._ties
            if (piece == tie.second and base + tie.first in rounds)
            or (piece == tie.first and base + tie.second in rounds)
        ]
        for count in self._counts(piece, floor):
            known = {**rounds, op: count}
            kept: list[Before] = []
            for tie in ties:
                apart = known[base + tie.second] - known[base + tie.first]
                most = self._most(tie)
                takes = self._takes(base + tie.first)
                # Both stand within one round, so they are less than a round nearer or farther.
                if (apart + 1) * self._below <= tie.least + takes:
                    break
                if (apart - 1) * floor >= most + takes:
                    break
                kept += _kept(self._work, tie, base + tie.first, base + tie.second, apart, most)
            else:
                yield count, kept

    def _most(self, tie: Tie) -> int:
        """Return the end of a gap, cut where more of it leads to no round that is new.

        A gap as wide as a round leaves every place in the round open. Where a piece hangs from
        several others at once, only a gap without end is cut, and later.
        """
        width = int(self._below) + 1
        if self._is_tree:
            return tie.least + width if tie.most is None else min(tie.most, tie.least + width)
        return tie.least + len(self._work.pieces) * width if tie.most is None else tie.most

    def _counts(self, piece: int, floor: Fraction) -> range:
        """Return how many rounds after the first piece this one may be: from none to enough."""
        if piece == 0:
            return range(1)
        farthest = self._work.hands.usual + sum(
            self._most(tie) for tie in self._ties if tie.second <= piece
        )
        return range(int(farthest / floor) + 2)

    def _gloves(self, order: Sequence[int], rounds: dict[int, int]) -> list[bool]:
        """Say for each piece whether gloves are changed before it."""
        fresh = [False] * len(self._ops)
        touching = [op for op in order if self._touches(op)]
        for place, op in enumerate(touching):
            before = touching[place - 1]
            wraps = 1 if place == 0 else 0
            same = (
                self._ops[before].person == self._ops[op].person
                and rounds[op] == rounds[before] + wraps
            )
            fresh[op] = not same
        return fresh

    def _follows(self, order: Sequence[int], rounds: dict[int, int]) -> Before:
        """Return that the last of `order` comes after the one before it, gloves included."""
        before, op = order[-2], order[-1]
        changed = 0
        touched = next((each for each in reversed(order[:-1]) if self._touches(each)), None)
        if self._touches(op) and touched is not None:
            same = (
                self._ops[touched].person == self._ops[op].person and rounds[touched] == rounds[op]
            )
            changed = 0 if same else self._work.gloves
        return Before(before, op, self._takes(before) + changed)

    def _still_to_fit(self, order: Sequence[int]) -> Before:
        """Return that what is not placed yet has to fit in before the round begins anew."""
        left = [op for op in range(len(self._ops)) if op not in order]
        rest = sum(self._takes(op) for op in left)
        first_touching = next(
            (place for place, piece in enumerate(self._work.pieces) if piece.touches), None
        )
        # The first touch of a cartridge is never on the specimen touched before.
        fresh = sum(self._ops[op].piece == first_touching for op in (*left, order[0]))
        return Before(
            order[-1], order[0], self._takes(order[-1]) + rest + fresh * self._work.gloves, 1
        )

    def _takes(self, op: int) -> int:
        return self._work.pieces[self._ops[op].piece].hands.usual

    def _touches(self, op: int) -> bool:
        return self._work.pieces[self._ops[op].piece].touches


def _kept(
    work: Work, tie: Tie, first: int, second: int, rounds: int, most: int | None
) -> list[Before]:
    """Return what keeps `tie` where `second` is done `rounds` rounds after `first`."""
    takes = work.pieces[tie.first].hands.usual
    kept = [Before(first, second, tie.least + takes, rounds)]
    if most is not None:
        kept.append(Before(second, first, -(most + takes), -rounds))
    return kept
