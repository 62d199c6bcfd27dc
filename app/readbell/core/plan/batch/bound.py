"""How long a batch takes at the least: a figure that no timetable can go below.

The arguments are proved in docs/planning.md, each under the name it has here; the
largest figure counts.
"""

from __future__ import annotations

from dataclasses import field
from itertools import pairwise
from typing import TYPE_CHECKING

from readbell.core.instant import Span
from readbell.core.made_later import dataclass
from readbell.core.plan.batch.one_operator import least_first_part

if TYPE_CHECKING:
    from readbell.core.plan.batch.job import Batch


def lower_bound(batch: Batch) -> Span:
    """Return what no timetable of `batch` ends before.

    It is a multiple of the largest unit that divides every figure, as the shortest
    timetable is: "Whole units".
    """
    found = 0
    for person, arrives in enumerate(batch.arrivals):
        # Whoever came before only adds work: those who come from here on are a batch of their own.
        if person == 0 or arrives > batch.arrivals[person - 1]:
            figures = _Figures(batch, int(arrives))
            found = max(found, arrives + figures.of(batch.people - person))
    return Span(-(-found // batch.unit) * batch.unit)


@dataclass(slots=True)
class _Figures:
    """The figures of one batch, for people who come at `since` or later; times count from there."""

    batch: Batch
    since: int
    takes: tuple[int, ...] = field(init=False)
    least: list[int] = field(init=False)
    """From the end of each piece to the beginning of the next, at the least."""
    most: list[list[int | None]] = field(init=False)
    """From the end of one piece to the beginning of a later one, at the most; None: no limit."""
    gloves: int = field(init=False)

    def __post_init__(self) -> None:
        self.takes = self.batch.takes
        self.gloves = int(self.batch.work.gloves)
        pieces = len(self.takes)
        self.least = [0] * (pieces - 1)
        self.most = [[None] * pieces for _ in range(pieces)]
        for tie in self.batch.ties:
            if tie.second == tie.first + 1:
                self.least[tie.first] = int(tie.least)
            if tie.most is not None:
                self.most[tie.first][tie.second] = int(tie.most)
        for second in range(2, pieces):
            for middle in range(second - 1, 0, -1):
                for first in range(middle):
                    self._shorten(first, middle, second)

    def _shorten(self, first: int, middle: int, second: int) -> None:
        one, two, now = (
            self.most[first][middle],
            self.most[middle][second],
            self.most[first][second],
        )
        if one is not None and two is not None:
            both = one + self.takes[middle] + two
            self.most[first][second] = both if now is None else min(now, both)

    def after(self, piece: int) -> int:
        """Return the least time from the end of `piece` to the end of the reading."""
        return sum(self.least[piece:]) + sum(self.takes[piece + 1 :])

    def of(self, people: int) -> int:
        """Return the bound for so many people."""
        found = self.takes[0] + self.after(0)
        for piece in range(len(self.takes)):
            found = max(found, self._last_end(people, piece) + self.after(piece))
        if self.batch.operators == 1 and len(self.takes) > 2:
            found = max(found, self._one_operator(people))
        return found

    def _one_operator(self, people: int) -> int:
        """Return the argument "Blocks of one operator"."""
        most = self.most[0][1]
        if len(self.takes) != 3 or most is None:
            return 0
        touch = self.batch.touches[0] and self.batch.touches[1]
        ends = least_first_part(
            people,
            first=self.takes[0],
            second=self.takes[1],
            least=self.least[0],
            most=most,
            gloves=self.gloves if touch else 0,
        )
        return ends + self.after(1)

    def _last_end(self, people: int, piece: int) -> int:
        """Return the soonest end of the last of all pieces `piece`: "Work before the last end"."""
        operators = self.batch.operators
        change = self.gloves if self.batch.touches[piece] else 0
        each = self.takes[piece] + change
        rounds = -(-people // operators)
        in_rounds = rounds * self.takes[piece] + (rounds - 1) * change + self._before(piece)
        done = [0] * len(self.takes)
        started = gone = after = 0
        for back in range(people):
            by_count = back // operators * each
            by_work = (back * each + after - (operators - 1) * each) // operators
            gone = max(gone, by_count, by_work)
            for later in range(piece + 1, len(self.takes)):
                limit = self.most[piece][later]
                if limit is not None and gone >= limit:
                    share = min(self.takes[later], gone - limit)
                    done[later] += share
                    after += share
                    started += self.batch.touches[later]
        return max(in_rounds, self._by_work(people, piece, done, started))

    def _before(self, piece: int) -> int:
        """Return the least time from the start of the batch to the beginning of a `piece`."""
        return sum(self.takes[:piece]) + sum(self.least[:piece])

    def _by_work(self, people: int, piece: int, done: list[int], started: int) -> int:
        touches = self.batch.touches
        begun = [
            people * takes if place <= piece else done[place]
            for place, takes in enumerate(self.takes)
        ]
        clean = sum(begun[place] for place, yes in enumerate(touches) if not yes)
        touched = people * sum(touches[: piece + 1]) + started
        changes = self.gloves * (touched - self.batch.operators)
        saved = self._without_change(people, clean)
        work = sum(begun) + max(0, changes - saved) + self._first_pause(people, piece)
        plain = work // self.batch.operators
        if not self.batch.breaks:
            return plain
        # A pause may fall into a break, so none is counted where hands are taken away.
        every_stay = self.gloves * people * max(0, sum(touches) - 1)
        return max(plain, self._done_by(sum(begun) + max(0, changes - every_stay)))

    def _done_by(self, work: int) -> int:
        """Return when all operators together have been at work for so long, breaks left out."""
        ends = {end - self.since for each in self.batch.breaks for end in (each.begins, each.ends)}
        at, left = 0, work
        for until in sorted(end for end in ends if end > 0):
            hands = self.batch.operators - self._away_at(at)
            if left <= hands * (until - at):
                return at + left // hands if hands else at
            left -= hands * (until - at)
            at = until
        return at + left // self.batch.operators

    def _away_at(self, at: int) -> int:
        return len(
            {
                each.operator
                for each in self.batch.breaks
                if each.begins - self.since <= at < each.ends - self.since
            }
        )

    def _without_change(self, people: int, clean: int) -> int:
        """Return how much time fewer changes of gloves may save: "Staying with one person"."""
        touch = [place for place, yes in enumerate(self.batch.touches) if yes]
        pauses = [
            sum(self.least[first:second]) + sum(self.takes[first + 1 : second])
            for first, second in pairwise(touch)
        ]
        all_of_them = self.gloves * people * len(pauses)
        pause = min(pauses, default=0)
        if pause <= self.gloves:
            return all_of_them
        return min(all_of_them, -(-self.gloves * clean // pause))

    def _first_pause(self, people: int, piece: int) -> int:
        """Return the argument "The first pause": idle time of the one who goes on first."""
        if len(self.takes) < 3:
            return 0
        most, first, touches = self.most[0][1], self.takes[0], self.batch.touches
        if most is None:
            return 0
        surely = self.gloves if touches[0] and touches[1] else 0
        perhaps = self.gloves if touches[0] or touches[1] else 0
        rounds = -(-people // self.batch.operators)
        if piece == 0 and (rounds - 1) * (first + surely) < most:
            return 0
        begun = 1
        while begun * (first + surely) + surely <= most:
            begun += 1
        return max(0, first + self.least[0] - begun * (first + perhaps))
