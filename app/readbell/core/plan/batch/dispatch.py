"""A timetable made hand by hand: whoever is free first is given something to do, by a rule.

A rule is an order of preference, so many people ahead that each operator may take
on, and how far apart the operators begin. Nobody is begun, and no reading taken,
if that would leave a piece of work already begun without free hands before its
limit; whether it would is found by sharing out all such pieces by their limits.
That looks no further than the next piece of each person, so a rule can come to a
point where a limit is missed: then it gives no timetable at all. Which rule serves
best depends on the numbers; the planner tries several and keeps the shortest.
"""

from __future__ import annotations

from bisect import insort
from typing import TYPE_CHECKING

from readbell.core.instant import Span
from readbell.core.made_later import dataclass
from readbell.core.plan.batch.plan import Placed

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.plan.batch.job import Batch

FAR = 1 << 60
START, GO_ON, COMMIT, READ = "start", "go-on", "commit", "read"


@dataclass(frozen=True, slots=True)
class Manner:
    """What an operator who is free prefers."""

    order: tuple[str, ...]
    """`START` a person; `GO_ON` with one who is ready; `COMMIT` to the next piece of one who
    soon will be, once enough are begun; `READ`."""
    ahead: tuple[int, ...]
    """For each operator: how many more people to begin than to bring to the end of their work."""
    late: tuple[int, ...]
    """For each operator: how long to wait before the first start, in milliseconds."""


class Dispatch:
    """One run of one manner of working over a batch.

    Args:
        batch: what is asked for.
        manner: how it is worked.
        latest: for each person the instant at which it is given up, as they are begun later
            than that: it would come to nothing shorter than is known already.
    """

    def __init__(self, batch: Batch, manner: Manner, latest: Sequence[float] | None = None) -> None:
        work = batch.work
        self._manner = manner
        self._takes = batch.takes
        self._touches = batch.touches
        self._gloves = int(work.gloves)
        self._last = len(work.pieces) - 1
        self._least: list[list[tuple[int, int, int]]] = [[] for _ in work.pieces]
        for tie in batch.ties:
            most = FAR if tie.most is None else int(tie.most)
            self._least[tie.second].append((tie.first, int(tie.least), most))
        self._arrivals = batch.arrivals
        self._people = batch.people
        self._latest = (FAR,) * batch.people if latest is None else latest
        self._away = [batch.breaks_of(each) for each in range(batch.operators)]
        self._has_breaks = bool(batch.breaks)
        self._free = [int(each) for each in manner.late]
        self._worn = [-1] * batch.operators
        self._balance = [0] * batch.operators
        self._begun = 0
        self._ends: list[list[int]] = []
        self._open: list[tuple[int, int, int, int]] = []
        """Limit, earliest, person, piece; whoever must be seen to first comes first."""
        self._unread: list[tuple[int, int, int]] = []
        self._placed: list[tuple[int, int, int, int]] = []

    def run(self) -> int | None:
        """Return when the timetable ends, or None where the rule misses a limit, or is given up."""
        acts = {
            START: self._start,
            GO_ON: self._go_on,
            COMMIT: self._commit,
            READ: self._read,
        }
        order = [acts[each] for each in self._manner.order]
        free, left = self._free, self._people * len(self._takes)
        while len(self._placed) < left:
            now = min(free)
            hands = free.index(now)
            if self._has_breaks and self._is_away(hands, now):
                continue
            for act in order:
                done = act(hands, now)
                if done is None:
                    return None
                if done:
                    break
            else:
                when = self._next_event(hands, now)
                if when == FAR:
                    return None
                free[hands] = when
        takes = self._takes
        return max(begins + takes[piece] for begins, _, _, piece in self._placed)

    def timetable(self) -> tuple[Placed, ...]:
        """Return what `run` came to."""
        return tuple(
            Placed(
                begins=Span(begins),
                operator=hands,
                person=person,
                piece=piece,
                ends=Span(begins + self._takes[piece]),
            )
            for begins, hands, person, piece in sorted(self._placed)
        )

    def _start(self, hands: int, now: int) -> bool | None:
        person = self._begun
        if person == self._people or self._balance[hands] > self._manner.ahead[hands]:
            return False
        begins = now + (self._gloves if self._worn[hands] >= 0 and self._touches[0] else 0)
        if self._arrivals[person] > begins:
            return False
        ends = begins + self._takes[0]
        if self._has_breaks and not self._is_clear(hands, now, ends):
            return False
        if begins > self._latest[person]:
            return None
        first = self._comes(person, 1, [ends])
        opened = self._open
        if self._last > 1:
            opened = opened.copy()
            insort(opened, first)
        if not self._can_share(hands, ends, person if self._touches[0] else -1, opened):
            return False
        self._ends.append([])
        self._begun += 1
        self._balance[hands] += self._last > 1
        self._put(hands, begins, person, 0)
        return True

    def _go_on(self, hands: int, now: int) -> bool | None:
        for place, (limit, earliest, person, piece) in enumerate(self._open):
            begins = now + self._change(hands, person, piece)
            if begins >= earliest and self._fits(hands, now, begins, piece):
                if begins > limit:
                    return None
                del self._open[place]
                self._finish(hands, begins, person, piece)
                return True
        return False

    def _commit(self, hands: int, now: int) -> bool | None:
        """Wait for the next piece if it is near, and read meanwhile where there is time."""
        is_full = self._balance[hands] > self._manner.ahead[hands] or self._begun == self._people
        if not self._open or not is_full:
            return False
        begins, place = min(
            (max(now + self._change(hands, person, piece), earliest), place)
            for place, (_, earliest, person, piece) in enumerate(self._open)
        )
        limit, _, person, piece = self._open[place]
        if begins - now > self._gloves + self._takes[self._last] or not self._fits(
            hands, now, begins, piece
        ):
            return False
        if self._unread:
            at = max(self._unread[0][1], now)
            if at + self._takes[self._last] + self._change(hands, person, piece) <= begins:
                return self._take_reading(hands, at)
        if begins > limit:
            return None
        del self._open[place]
        self._finish(hands, begins, person, piece)
        return True

    def _read(self, hands: int, now: int) -> bool | None:
        if not self._unread or self._unread[0][1] > now:
            return False
        ends = now + self._takes[self._last]
        if self._has_breaks and not self._is_clear(hands, now, ends):
            return False
        if not self._can_share(hands, ends, -1, self._open):
            return False
        return self._take_reading(hands, now)

    def _take_reading(self, hands: int, at: int) -> bool | None:
        limit, _, person = self._unread.pop(0)
        if at > limit:
            return None
        self._put(hands, at, person, self._last)
        return True

    def _finish(self, hands: int, begins: int, person: int, piece: int) -> None:
        self._balance[hands] -= piece == self._last - 1
        self._put(hands, begins, person, piece)

    def _put(self, hands: int, begins: int, person: int, piece: int) -> None:
        ends = begins + self._takes[piece]
        self._free[hands] = ends
        self._placed.append((begins, hands, person, piece))
        self._ends[person].append(ends)
        if self._touches[piece]:
            self._worn[hands] = person
        if piece < self._last:
            limit, earliest, _, following = comes = self._comes(
                person, piece + 1, self._ends[person]
            )
            if following == self._last:
                insort(self._unread, (limit, earliest, person))
            else:
                insort(self._open, comes)

    def _comes(self, person: int, piece: int, ends: list[int]) -> tuple[int, int, int, int]:
        """Return when `piece` may begin, last and first, once all pieces before it have ended."""
        earliest, limit = 0, FAR
        for first, least, most in self._least[piece]:
            earliest = max(earliest, ends[first] + least)
            limit = min(limit, ends[first] + most)
        return limit, earliest, person, piece

    def _change(self, hands: int, person: int, piece: int) -> int:
        worn = self._worn[hands]
        return self._gloves if self._touches[piece] and worn >= 0 and worn != person else 0

    def _can_share(
        self, hands: int, until: int, person: int, opened: list[tuple[int, int, int, int]]
    ) -> bool:
        """Say whether all pieces begun keep their limits if `hands` are busy `until` then."""
        free, worn, gloves = self._free.copy(), self._worn.copy(), self._gloves
        free[hands] = until
        if person >= 0:
            worn[hands] = person
        for limit, earliest, whose, piece in opened:
            best, who = FAR, 0
            touches = self._touches[piece]
            for each, begins in enumerate(free):
                if touches and worn[each] >= 0 and worn[each] != whose:
                    begins += gloves  # this is the inmost loop
                if begins < earliest:
                    begins = earliest
                if self._has_breaks:
                    begins = self._after_breaks(each, begins, piece)
                if begins < best:
                    best, who = begins, each
                    if best == earliest:
                        break
            if best > limit:
                return False
            free[who] = best + self._takes[piece]
            if touches:
                worn[who] = whose
        first, reading, operators = min(free), self._takes[self._last], len(free)
        for place, (limit, _, _) in enumerate(self._unread):
            at = first + reading * (place // operators)
            if limit >= at + reading * operators:
                break
            if limit < at:
                return False
        return True

    def _next_event(self, hands: int, now: int) -> int:
        """Return when there may be something new to do for `hands`; `FAR` if nothing will be."""
        when = FAR
        for _, earliest, person, piece in self._open:
            at = earliest - self._change(hands, person, piece)
            if now < at < when:
                when = at
        if self._unread and now < self._unread[0][1] < when:
            when = self._unread[0][1]
        if self._begun < self._people:
            at = self._arrivals[self._begun] - (self._gloves if self._worn[hands] >= 0 else 0)
            if now < at < when:
                when = at
        for at in self._free:
            if now < at < when:
                when = at
        for begins, ends in self._away[hands]:
            for at in (begins, ends):
                if now < at < when:
                    when = at
        return when

    def _is_away(self, hands: int, now: int) -> bool:
        """Move `hands` to the end of a break they are in."""
        for begins, ends in self._away[hands]:
            if begins <= now < ends:
                self._free[hands] = ends
                return True
        return False

    def _fits(self, hands: int, now: int, begins: int, piece: int) -> bool:
        return not self._has_breaks or self._is_clear(hands, now, begins + self._takes[piece])

    def _is_clear(self, hands: int, begins: int, ends: int) -> bool:
        return all(ends <= away or back <= begins for away, back in self._away[hands])

    def _after_breaks(self, hands: int, begins: int, piece: int) -> int:
        for away, back in self._away[hands]:
            if begins < back and away < begins + self._takes[piece]:
                begins = back
        return begins
