"""Thousands of runs at once, each a row of arrays: the same numbers as `plain.py`, faster.

Every step does one piece of work in every run. What one person after the other does
in `plain.py` stands here column by column; the two are held together by tests.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from readbell.core.instant import SECOND
from readbell.core.plan.capacity import Rule
from readbell.core.plan.tally import Tally
from readbell.forecast.draws import (
    BITS,
    FIRST_MIX,
    GAMMA,
    IN_A_NUMBER,
    SECOND_MIX,
    VALUES,
    numbers_each,
)
from readbell.forecast.job import FAR

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray

    from readbell.forecast.job import Job

    Times = NDArray[np.int32]
    Places = NDArray[np.intp]
    Marks = NDArray[np.bool_]

NEW = 0
NOBODY = -1
NEVER = 2 * FAR
"""Later than anything that may be added up; still within 32 bits."""


class ArrayPlayer:
    """Plays the runs of one crew, many at a time."""

    def __init__(self, job: Job, rule: Rule, operators: int, people: int, seed: int) -> None:
        self.job, self.rule, self.operators = job, rule, operators
        self.people, self.seed = people, seed
        self._tables = [np.asarray(each, dtype=np.int32) for each in (job.between, *job.takes)]

    def play(self, runs: range) -> Tally:
        """Return what the runs numbered `runs` came to, all together."""
        rows = _Rows(self, len(runs), *self.drawn(runs))
        for _ in range(self.people * len(self.job.takes)):
            rows.step()
        return rows.tally()

    def drawn(self, runs: range) -> tuple[Times, list[Times]]:
        """Return when each person of each run comes, and how long each of their pieces takes."""
        each = numbers_each(len(self._tables))
        first = runs.start * self.people * each
        places = np.arange(first, first + len(runs) * self.people * each, dtype=np.uint64)
        line = _numbers(self.seed, places).reshape(len(runs), self.people, each)
        columns = []
        for value, table in enumerate(self._tables):
            bits = line[:, :, value // IN_A_NUMBER] >> np.uint64(BITS * (value % IN_A_NUMBER))
            columns.append(table[(bits & np.uint64(VALUES - 1)).astype(np.intp)])
        return np.cumsum(columns[0], axis=1, dtype=np.int32), columns[1:]


def _numbers(seed: int, places: NDArray[np.uint64]) -> NDArray[np.uint64]:
    mixed = np.uint64(seed) + (places + np.uint64(1)) * np.uint64(GAMMA)
    mixed = (mixed ^ (mixed >> np.uint64(30))) * np.uint64(FIRST_MIX)
    mixed = (mixed ^ (mixed >> np.uint64(27))) * np.uint64(SECOND_MIX)
    return mixed ^ (mixed >> np.uint64(31))


def _part(times: Times, share: tuple[int, int]) -> Times:
    """Return that share of each time, rounded down."""
    part, whole = share
    if part == whole:
        return times
    return (times.astype(np.int64) * part // whole).astype(np.int32) if part > 1 else times // whole


class _Rows:
    """All runs side by side.

    Everything is flat: what belongs to an operator stands at operator times runs plus
    run, what belongs to a person at person times runs plus run. Runs keep about the
    same pace, so what one step needs lies close together.
    """

    def __init__(
        self, player: ArrayPlayer, count: int, arrivals: Times, takes: Sequence[Times]
    ) -> None:
        self._job = job = player.job
        self._people, self._operators = people, operators = player.people, player.operators
        self._choose = self._busy if player.rule is Rule.BUSY else self._careful
        self._last, self._runs = len(job.takes) - 1, count
        # One person more who never comes, so that the end needs no question.
        never = np.full((1, count), FAR, dtype=np.int32)
        self._arrivals = np.concatenate((arrivals.T, never)).ravel()
        self._takes = [np.ascontiguousarray(each.T).ravel() for each in takes]
        self._next = np.arange(count, dtype=np.intp)
        self._every = np.arange(count, dtype=np.intp)
        wide, long = count * operators, count * people + 1
        self._free = np.zeros(wide, dtype=np.int32)
        self._touched = np.full(wide, NOBODY, dtype=np.intp)
        self._newest = np.full(wide, NOBODY, dtype=np.intp)
        self._waiting = np.zeros(wide, dtype=np.int32)
        self._head = [np.full(wide, NOBODY, dtype=np.intp) for _ in job.takes]
        self._ready = [np.full(wide, FAR, dtype=np.int32) for _ in job.takes]
        self._limit = [np.full(wide, FAR, dtype=np.int32) for _ in job.takes]
        # The one place more stands for nobody: never ended, followed by nobody.
        self._ends = [np.full(long, FAR, dtype=np.int32) for _ in job.takes]
        self._after = np.full(long, NOBODY, dtype=np.intp)
        self._waits = np.zeros(count * people, dtype=np.int32)
        self._is_late = np.zeros(count * people, dtype=np.bool_)
        self._late = [0] * len(job.windows)
        self._gloves_changed = 0

    def step(self) -> None:
        """Do one piece in every run."""
        start, piece = self._choose()
        hands = self._soonest(start)
        piece = piece[hands]
        for each in range(self._last + 1):
            run = np.flatnonzero(piece == each)
            if len(run):
                here = hands[run]
                self._do(each, run, here, start[here])

    def _soonest(self, start: Times) -> Places:
        """Return whose next piece begins soonest in each run, the first of several."""
        hands, best = self._every, start[: self._runs]
        for each in range(1, self._operators):
            mine = start[each * self._runs : (each + 1) * self._runs]
            better = mine < best
            hands = np.where(better, self._every + each * self._runs, hands)
            best = np.minimum(best, mine)
        return hands

    def _do(self, piece: int, run: Places, hands: Places, start: Times) -> None:
        job = self._job
        person = self._begin(run, hands, start) if piece == NEW else self._head[piece][hands]
        takes = self._takes[piece][person]
        begins = start
        if job.touches[piece] and job.gloves:
            fresh = self._touched[hands] != person
            begins = start + fresh * np.int32(job.gloves)
            self._gloves_changed += int(np.count_nonzero(fresh))
        self._judge(piece, person, begins, takes)
        ends = begins + takes
        self._free[hands] = ends
        if job.touches[piece]:
            self._touched[hands] = person
        self._ends[piece][person] = ends
        if piece != NEW:
            self._head[piece][hands] = self._after[person]
        if piece == self._last - 1:
            self._waiting[hands] += 1
        if piece == self._last:
            self._waiting[hands] -= 1
        for each in range(max(1, piece), min(piece + 2, self._last + 1)):
            self._look_again(each, hands)
        for each in range(piece + 2, self._last + 1):
            if any(hold.first == piece and hold.second == each for hold in job.holds):
                self._look_again(each, hands)

    def _begin(self, run: Places, hands: Places, start: Times) -> Places:
        """Take on the next person of each run, at the end of the operator's own line."""
        person: Places = self._next[run]
        self._waits[person] = start - self._arrivals[person]
        self._next[run] = person + self._runs
        self._after[self._newest[hands]] = person
        self._after[-1] = NOBODY
        self._newest[hands] = person
        for head in self._head[1:]:
            first = head[hands]
            head[hands] = np.where(first == NOBODY, person, first)
        return person

    def _judge(self, piece: int, person: Places, begins: Times, takes: Times) -> None:
        for place, window in enumerate(self._job.windows):
            if window.second == piece:
                limit = self._ends[window.first][person] + np.int32(window.most)
                if window.tail[0]:
                    limit -= _part(self._takes[window.first][person], window.tail)
                late = begins + _part(takes, window.reach) > limit
                self._late[place] += int(np.count_nonzero(late))
                self._is_late[person] |= late

    def _look_again(self, piece: int, hands: Places) -> None:
        """Work out anew from when on the heads of the lines may begin `piece`, and until when."""
        person = self._head[piece][hands]
        first, *rest = (hold for hold in self._job.holds if hold.second == piece)
        ended = self._ends[first.first][person]
        ready = ended + np.int32(first.least)
        limit = np.minimum(ended + np.int32(first.planned), np.int32(FAR))
        for hold in rest:
            ended = self._ends[hold.first][person]
            ready = np.maximum(ready, ended + np.int32(hold.least))
            limit = np.minimum(limit, ended + np.int32(hold.planned))
        self._ready[piece][hands] = ready
        self._limit[piece][hands] = limit

    def _new(self) -> Times:
        comes = self._arrivals[self._next]
        wide = self._free.reshape(self._operators, self._runs)
        start: Times = np.maximum(wide, comes).ravel()
        return start

    def _start(self, piece: int) -> Times:
        """Return when each operator could turn to the head of the line for `piece`."""
        ready = self._ready[piece]
        start: Times
        if self._job.touches[piece] and self._job.gloves:
            other = self._touched != self._head[piece]
            start = np.maximum(self._free, ready - other * np.int32(self._job.gloves))
        else:
            start = np.maximum(self._free, ready)
        start[ready >= FAR] = NEVER
        return start

    def _busy(self) -> tuple[Times, Times]:
        start = self._new()
        piece = np.zeros(len(start), dtype=np.int32)
        best = np.full(len(start), FAR, dtype=np.int32)
        for each in range(1, self._last + 1):
            begins, limit = self._start(each), self._limit[each]
            better = (begins < start) | ((begins == start) & ((piece == NEW) | (limit < best)))
            start = np.where(better, begins, start)
            best = np.where(better, limit, best)
            piece[better] = each
        return start, piece

    def _careful(self) -> tuple[Times, Times]:
        blocks, last = self._job.blocks, self._last
        assert blocks is not None  # noqa: S101  # a job of this rule has them
        new = self._new()
        if not last:
            return new, np.zeros(len(new), dtype=np.int32)
        none = self._ready[last] >= FAR
        safe: Times = self._limit[last].copy()
        if blocks.crowding:
            safe -= np.int32(blocks.crowding) * np.maximum(self._waiting - 1, 0)
        safe[none] = NEVER
        reading = np.maximum(self._free, self._ready[last])
        begins = (new + np.int32(blocks.single) <= safe) & (new <= reading)
        start = np.where(begins, new, reading)
        piece = np.where(begins, NEW, last).astype(np.int32)
        if last == 1:
            return start, piece
        forced, which = self._start(1), np.ones(len(new), dtype=np.int32)
        for each in range(2, last):
            other = self._start(each)
            sooner = other < forced
            forced, which[sooner] = np.where(sooner, other, forced), each
        in_block = forced < FAR
        fits = reading + np.int32(blocks.reading) <= forced
        pairs = self._may_pair(new, safe)
        start = np.where(in_block, np.where(pairs, new, np.where(fits, reading, forced)), start)
        inside = np.where(pairs, NEW, np.where(fits, last, which))
        return start, np.where(in_block, inside, piece).astype(np.int32)

    def _may_pair(self, new: Times, safe: Times) -> Marks:
        blocks, newest = self._job.blocks, self._newest
        assert blocks is not None  # noqa: S101  # a job of this rule has them
        if blocks.second >= FAR:
            return np.zeros(len(new), dtype=np.bool_)
        pairs: Marks = (
            (self._head[1] == newest)
            & (self._ends[NEW][newest] == self._free)
            & (new == self._free)
            & (self._free + np.int32(blocks.second) <= safe)
        )
        return pairs

    def tally(self) -> Tally:
        """Return what all runs came to."""
        waits = self._waits.astype(np.int64)
        busy = sum(int(each.sum(dtype=np.int64)) for each in self._takes)
        busy += self._gloves_changed * self._job.gloves
        late = self._is_late.reshape(self._people, self._runs).sum(axis=0, dtype=np.int64)
        lasted = self._free.reshape(self._operators, self._runs).max(axis=0)
        return Tally(
            runs=self._runs,
            people=self._people,
            operators=self._operators,
            waits=tuple(np.bincount(-(-waits // SECOND)).tolist()),
            waited=int(waits.sum()),
            delayed=int(np.count_nonzero(waits)),
            busy=busy,
            lasted=int(lasted.sum(dtype=np.int64)),
            late=tuple(self._late),
            missed=int(late.sum()),
            missed_squares=int((late * late).sum()),
            runs_missing=int(np.count_nonzero(late)),
        )
