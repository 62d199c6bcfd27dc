"""One run of a bay, person by person: slow, plain, and what the fast way is held against.

The operator whose next piece begins soonest goes first. What an operator turns to is
chosen by the rule from the heads of their own lines: of cartridges that wait for the
same piece the one begun first is served first, which among equals is also the one
whose limit comes first.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.instant import SECOND
from readbell.core.made_later import dataclass
from readbell.core.plan.capacity import Rule
from readbell.core.plan.tally import Tally
from readbell.forecast.draws import BITS, IN_A_NUMBER, VALUES, number, numbers_each
from readbell.forecast.job import FAR

if TYPE_CHECKING:
    from readbell.forecast.job import Blocks, Job

NEW = 0
"""The first piece: somebody new is begun."""


@dataclass(slots=True)
class _Hands:
    """One operator: when free, whose specimen they touched, whom they began."""

    free: int = 0
    touched: int = -1
    own: list[int] = field(default_factory=list)
    done: list[int] = field(default_factory=list)
    """How many of their own have each piece done, by place of the piece."""


@dataclass(frozen=True, slots=True)
class _Choice:
    """What one operator would do next, from when on, and after how long a change of gloves."""

    start: int
    piece: int
    fresh: int


class PlainPlayer:
    """Plays the runs of one crew, one at a time."""

    def __init__(self, job: Job, rule: Rule, operators: int, people: int, seed: int) -> None:
        self.job, self.rule, self.operators = job, rule, operators
        self.people, self.seed = people, seed

    def play(self, runs: range) -> Tally:
        """Return what the runs numbered `runs` came to, all together."""
        waits: dict[int, int] = {}
        late = [0] * len(self.job.windows)
        count = waited = delayed = busy = lasted = missed = squares = missing = 0
        for run in runs:
            one = _Run(self, run)
            one.play()
            count += 1
            for wait in one.waits:
                waited += wait
                delayed += wait > 0
                seconds = -(-wait // SECOND)
                waits[seconds] = waits.get(seconds, 0) + 1
            busy += one.busy
            lasted += one.lasted
            late = [a + b for a, b in zip(late, one.late, strict=True)]
            found = sum(one.is_late)
            missed += found
            squares += found * found
            missing += found > 0
        return Tally(
            runs=count,
            people=self.people,
            operators=self.operators,
            waits=tuple(waits.get(each, 0) for each in range(max(waits, default=-1) + 1)),
            waited=waited,
            delayed=delayed,
            busy=busy,
            lasted=lasted,
            late=tuple(late),
            missed=missed,
            missed_squares=squares,
            runs_missing=missing,
        )


def drawn(job: Job, people: int, seed: int, run: int) -> tuple[list[int], list[list[int]]]:
    """Return when each person of a run comes, and how long each of their pieces takes."""
    values = 1 + len(job.takes)
    each = numbers_each(values)
    arrivals, takes, now = [], [[0] * people for _ in job.takes], 0
    for person in range(people):
        first = (run * people + person) * each
        line = [number(seed, first + place) for place in range(each)]
        chosen = [
            line[value // IN_A_NUMBER] >> (BITS * (value % IN_A_NUMBER)) & (VALUES - 1)
            for value in range(values)
        ]
        now += job.between[chosen[0]]
        arrivals.append(now)
        for piece, table in enumerate(job.takes):
            takes[piece][person] = table[chosen[piece + 1]]
    return arrivals, takes


class _Run:
    """One run, played to its end."""

    def __init__(self, player: PlainPlayer, run: int) -> None:
        self._job = job = player.job
        self._last = len(job.takes) - 1
        self._choose = self._busy if player.rule is Rule.BUSY else self._careful
        self._people = people = player.people
        arrivals, self._takes = drawn(job, people, player.seed, run)
        self._arrivals = [*arrivals, FAR]
        self._next = 0
        self._ends = [[FAR] * people for _ in job.takes]
        self._hands = [_Hands(done=[0] * len(job.takes)) for _ in range(player.operators)]
        self.waits: list[int] = []
        self.late = [0] * len(job.windows)
        self.is_late = [False] * people
        self.busy = 0
        self.lasted = 0

    def play(self) -> None:
        """Do every piece for everybody."""
        for _ in range(self._people * len(self._job.takes)):
            choices = [self._choose(hands) for hands in self._hands]
            place = min(range(len(choices)), key=lambda each: (choices[each].start, each))
            self._do(self._hands[place], choices[place])
        self.lasted = max(hands.free for hands in self._hands)

    def _do(self, hands: _Hands, choice: _Choice) -> None:
        piece = choice.piece
        if piece == NEW:
            person = self._next
            self._next += 1
            self.waits.append(choice.start - self._arrivals[person])
            hands.own.append(person)
        else:
            person = hands.own[hands.done[piece]]
        begins = choice.start + choice.fresh
        takes = self._takes[piece][person]
        for place, window in enumerate(self._job.windows):
            if window.second == piece:
                since = self._takes[window.first][person] * window.tail[0] // window.tail[1]
                until = takes * window.reach[0] // window.reach[1]
                limit = self._ends[window.first][person] - since + window.most
                if begins + until > limit:
                    self.late[place] += 1
                    self.is_late[person] = True
        hands.free = begins + takes
        hands.done[piece] += 1
        if self._job.touches[piece]:
            hands.touched = person
        self._ends[piece][person] = hands.free
        self.busy += choice.fresh + takes

    def _head(self, hands: _Hands, piece: int) -> tuple[int, int, int]:
        """Return from when on the head of a line may begin `piece`, until when, and the gloves."""
        if hands.done[piece] >= len(hands.own):
            return FAR, FAR, 0
        person = hands.own[hands.done[piece]]
        ready, limit = 0, FAR
        for hold in self._job.holds:
            if hold.second == piece:
                ended = self._ends[hold.first][person]
                ready = max(ready, ended + hold.least)
                limit = min(limit, ended + hold.planned)
        fresh = self._job.touches[piece] and hands.touched != person
        return ready, limit, self._job.gloves if fresh else 0

    def _new(self, hands: _Hands) -> _Choice:
        fresh = self._job.gloves if self._job.touches[NEW] else 0
        return _Choice(max(hands.free, self._arrivals[self._next]), NEW, fresh)

    def _busy(self, hands: _Hands) -> _Choice:
        """Choose what can begin soonest; of several, what reaches its limit first."""
        best, best_limit = self._new(hands), FAR
        for piece in range(1, self._last + 1):
            ready, limit, fresh = self._head(hands, piece)
            if ready >= FAR:
                continue
            start = max(hands.free, ready - fresh)
            if start < best.start or (
                start == best.start and (best.piece == NEW or limit < best_limit)
            ):
                best, best_limit = _Choice(start, piece, fresh), limit
        return best

    def _careful(self, hands: _Hands) -> _Choice:
        """Choose so that every strip that develops can be read in time at its longest."""
        blocks = self._job.blocks
        assert blocks is not None  # noqa: S101  # a job of this rule has them
        new = self._new(hands)
        ready, limit, _ = self._head(hands, self._last) if self._last else (FAR, FAR, 0)
        waiting = hands.done[self._last - 1] - hands.done[self._last] if self._last else 0
        safe_until = limit - blocks.crowding * max(0, waiting - 1) if ready < FAR else 2 * FAR
        reading = _Choice(max(hands.free, ready), self._last, 0)
        forced = self._forced(hands)
        if forced is not None:
            if self._may_pair(hands, new, safe_until, blocks):
                return new
            if reading.start + blocks.reading <= forced.start:
                return reading
            return forced
        if new.start + blocks.single <= safe_until and new.start <= reading.start:
            return new
        return reading

    def _forced(self, hands: _Hands) -> _Choice | None:
        """Return the next piece of a block that is begun, or None if there is none.

        One person's pieces follow each other, and two are only together where there is one to do.
        """
        for piece in range(1, self._last):
            ready, _, fresh = self._head(hands, piece)
            if ready < FAR:
                return _Choice(max(hands.free, ready - fresh), piece, fresh)
        return None

    def _may_pair(self, hands: _Hands, new: _Choice, safe_until: int, blocks: Blocks) -> bool:
        """Say whether a second person may be taken on right after the first's first piece."""
        person = hands.own[-1]
        return (
            blocks.second < FAR
            and hands.done[NEW] - hands.done[1] == 1
            and self._ends[NEW][person] == hands.free
            and new.start == hands.free
            and hands.free + blocks.second <= safe_until
        )
