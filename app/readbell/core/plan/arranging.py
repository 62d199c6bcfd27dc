"""Orders worth trying: at each free moment what reaches its limit first, of what is ready."""

from __future__ import annotations

from heapq import heapify, heappop, heappush, heapreplace
from typing import TYPE_CHECKING

from readbell.core.instant import Span, later

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.core.instant import Instant
    from readbell.core.plan.bench import Bench, Key, Task

    Rank = tuple[bool, bool, int, int]


class _Pool:
    """Tasks that may be taken from: those to come by when they are ready, the ready by rank."""

    __slots__ = ("coming", "ready")

    def __init__(self) -> None:
        self.coming: list[tuple[Instant, Rank, Task]] = []
        self.ready: list[tuple[Rank, Instant, Task]] = []

    def open_until(self, now: Instant) -> None:
        """Move what is ready at `now`."""
        coming, ready = self.coming, self.ready
        while coming and coming[0][0] <= now:
            at, rank, task = heappop(coming)
            heappush(ready, (rank, at, task))


def arrange(bench: Bench, *, readings_last: bool = False) -> tuple[tuple[Task, ...], ...]:
    """Return an order for each hand, played through with every time at its most.

    The hand that is free first takes, of what is ready, the task whose limit comes
    first, or waits for what is ready next. What follows from a piece stays with the
    hand that did the piece.

    Args:
        readings_last: put readings behind everything else that is ready.
    """
    return _Arranging(bench, readings_last=readings_last).played()


class _Arranging:
    def __init__(self, bench: Bench, *, readings_last: bool) -> None:
        self._bench = bench
        self._readings_last = readings_last
        self._ends: dict[Key, Instant] = {key: hand.free_most for key, hand in bench.under_way()}
        self._shared = _Pool()
        self._own = [_Pool() for _ in bench.hands]
        self._following: dict[Key, list[Task]] = {}
        self._missing: dict[Key, int] = {}
        self._count = 0
        self._sort(bench.tasks)

    def played(self) -> tuple[tuple[Task, ...], ...]:
        """Let the hands take turns until nothing is left."""
        hands = self._bench.hands
        orders: list[list[Task]] = [[] for _ in hands]
        touched = [hand.touched for hand in hands]
        free = [(hand.free_most, place) for place, hand in enumerate(hands)]
        heapify(free)
        while free:
            now, place = free[0]
            taken = self._taken(place, now)
            if taken is None:
                heappop(free)
                continue
            ready, task = taken
            fresh = Span(0)
            if task.touches:
                fresh = task.gloves if touched[place] != task.person else fresh
                touched[place] = task.person
            begins = max(later(now, fresh), ready)
            if hands[place].breaks:
                begins = hands[place].clear_of_breaks(begins, fresh, task)
            ended = later(begins, task.hands.most)
            orders[place].append(task)
            self._ends[task.key] = ended
            heapreplace(free, (ended, place))
            self._follow(task, place)
        return tuple(map(tuple, orders))

    def _sort(self, tasks: Iterable[Task]) -> None:
        for task in tasks:
            waits_for = [tie.after for tie in task.ties if tie.after not in self._ends]
            if waits_for:
                self._missing[task.key] = len(waits_for)
                for key in waits_for:
                    self._following.setdefault(key, []).append(task)
            else:
                self._shared.coming.append(self._entry(task))
        heapify(self._shared.coming)

    def _follow(self, task: Task, place: int) -> None:
        for each in self._following.pop(task.key, ()):
            self._missing[each.key] -= 1
            if not self._missing[each.key]:
                heappush(self._own[place].coming, self._entry(each))

    def _entry(self, task: Task) -> tuple[Instant, Rank, Task]:
        """Return when `task` is ready, and its rank; the count parts what is alike."""
        ready, limit = task.ready, task.latest
        for tie in task.ties:
            ended = self._ends[tie.after]
            ready = max(ready, later(ended, tie.least))
            limit = limit if tie.most is None else min(limit, later(ended, tie.most))
        self._count += 1
        is_behind = self._readings_last and task.is_reading
        return ready, (not task.is_late, is_behind, limit, self._count), task

    def _taken(self, place: int, now: Instant) -> tuple[Instant, Task] | None:
        """Return what the hand at `place`, free at `now`, does next, and since when it may."""
        shared, own = self._shared, self._own[place]
        shared.open_until(now)
        own.open_until(now)
        if own.ready and not (shared.ready and shared.ready[0] < own.ready[0]):
            return heappop(own.ready)[1:]
        if shared.ready:
            return heappop(shared.ready)[1:]
        # No hand is free before this one, so it can take what is ready next.
        pool = shared if shared.coming and not _sooner(own, shared) else own
        if not pool.coming:
            return None
        ready, _, task = heappop(pool.coming)
        return ready, task


def _sooner(one: _Pool, other: _Pool) -> bool:
    return bool(one.coming) and one.coming[0] < other.coming[0]
