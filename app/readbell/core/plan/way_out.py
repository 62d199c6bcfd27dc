"""The way out: an order for all that is left in which nothing can be missed.

Each hand has its own order and does one task after the other, each as soon as it
may. Such an order is *sure* if no limit is passed whatever the hands-on times
turn out to be within their bounds. `docs/planning.md` proves the two facts that
this rests on:

* the instant at which a task begins never falls when a time grows, so all times
  at their most give the latest beginning, and all at their least the earliest;
* what may pass between the end of one piece and the beginning of another is at
  most the longest path between them, and a path that avoids the piece counts
  from the earliest instant at which that piece can have ended.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import Span, later
from readbell.core.made_later import dataclass
from readbell.core.plan.arranging import arrange

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from readbell.core.instant import Instant
    from readbell.core.plan.bench import Bench, Hand, Key, Task, Tie

Orders = tuple[tuple["Task", ...], ...]
"""For each hand, in the order of the bench, what it does one after the other."""
Keys = tuple[tuple["Key", ...], ...]
"""The same by the keys of the tasks, to be carried to the next question."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """An order for each hand, and the tasks that it may miss."""

    orders: Orders
    at_risk: tuple[Task, ...]

    @property
    def is_sure(self) -> bool:
        """Whether nothing can be missed."""
        return not self.at_risk


def way_out(bench: Bench, carried: Sequence[Keys] = ()) -> WayOut:
    """Return a sure way out of `bench`, or the one found that risks least.

    Two orders are tried: by the limit that is reached first, and the same with the
    readings behind all other work. None of them being sure does not mean that no
    order is.

    Args:
        carried: ways out found before; what is left of them is tried as well, for
            one that was sure stays so as long as nobody leaves it.
    """
    found = _judged(bench, arrange(bench))
    if found.is_sure:
        return found
    readings_last = _judged(bench, arrange(bench, readings_last=True))
    tried = [found, readings_last]
    for keys in carried:
        kept = _carried_on(bench, keys)
        if kept is not None:
            tried.append(_judged(bench, kept))
    return min(tried, key=lambda each: len(each.at_risk))


def keys_of(way: WayOut) -> Keys:
    """Return the orders of `way` by the keys of its tasks."""
    return tuple(tuple(task.key for task in order) for order in way.orders)


def _judged(bench: Bench, orders: Orders) -> WayOut:
    return WayOut(orders=orders, at_risk=at_risk(bench, orders))


def _carried_on(bench: Bench, carried: Keys) -> Orders | None:
    """Return what is left of `carried`, or None if it does not speak of just these tasks."""
    tasks = {task.key: task for task in bench.tasks}
    orders = tuple(tuple(tasks[key] for key in keys if key in tasks) for keys in carried)
    named = sum(len(each) for each in orders)
    return orders if len(orders) == len(bench.hands) and named == len(tasks) else None


def at_risk(bench: Bench, orders: Orders) -> tuple[Task, ...]:
    """Return the tasks that may be begun too late if each hand keeps to its order."""
    in_hand = {key: _End(lo=hand.free, hi=hand.free_most) for key, hand in bench.under_way()}
    return tuple(
        task
        for hand, order in zip(bench.hands, orders, strict=True)
        for task in _Course(hand, order, in_hand).at_risk()
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _End:
    """Between which instants a piece ends; `place` in the order, -1 before all of it."""

    lo: Instant
    hi: Instant
    place: int = -1


class _Course:
    """One hand that goes through its order."""

    def __init__(self, hand: Hand, order: Sequence[Task], in_hand: Mapping[Key, _End]) -> None:
        self._hand = hand
        self._order = order
        self._in_hand = in_hand
        self._ends: dict[Key, _End] = {}
        self._fresh: list[Span] = []

    def at_risk(self) -> list[Task]:
        """Return what may be begun too late."""
        found = []
        lo, hi, touched = self._hand.free, self._hand.free_most, self._hand.touched
        for place, task in enumerate(self._order):
            needed = task.touches and touched != task.person
            fresh = task.gloves if needed else Span(0)
            touched = task.person if task.touches else touched
            self._fresh.append(fresh)
            begins, begins_most = max(lo, task.ready), max(later(hi, fresh), task.ready)
            for tie in task.ties:
                end = self._end(tie)
                begins = max(begins, later(end.lo, tie.least))
                begins_most = max(begins_most, later(end.hi, tie.least))
            begins_most = self._hand.clear_of_breaks(begins_most, fresh, task)
            if begins_most > task.latest or any(
                tie.most is not None
                # The short way first: it is nearly always enough.
                and begins_most - self._end(tie).lo > tie.most
                and self._longest(tie, place) > tie.most
                for tie in task.ties
            ):
                found.append(task)
            lo = later(begins, task.hands.least)
            hi = later(begins_most, task.hands.most)
            self._ends[task.key] = _End(lo=lo, hi=hi, place=place)
        return found

    def _end(self, tie: Tie) -> _End:
        return self._ends.get(tie.after) or self._in_hand[tie.after]

    def _longest(self, tie: Tie, until: int) -> int:
        """Return how long at most from the end of the tied piece to the task at `until`."""
        after = self._end(tie)
        is_own = tie.after in self._ends or tie.after == self._hand.on
        passed = 0 if is_own else max(0, self._hand.free_most - after.lo)
        since: dict[Key, int] = {tie.after: 0}
        begins = passed
        for place in range(after.place + 1, until + 1):
            task = self._order[place]
            begins = max(passed + self._fresh[place], task.ready - after.lo)
            for each in task.ties:
                begins = max(begins, self._since(each.after, since, after) + each.least)
            # A break may hold it up, and then it begins as the break ends.
            if any(begins + after.hi + task.hands.most > each.since for each in self._hand.breaks):
                begins = self._beyond_breaks(begins, place, after)
            passed = begins + task.hands.most
            since[task.key] = passed
        return begins

    def _since(self, key: Key, since: Mapping[Key, int], after: _End) -> int:
        """Return how long at most from the end `after` to the end of the piece `key`."""
        if key in since:
            return since[key]
        end = self._ends.get(key) or self._in_hand[key]
        if end.place < 0 and key != self._hand.on:
            return end.hi - after.lo
        between = self._order[end.place + 1 : after.place + 1]
        return -sum(task.hands.least for task in between)

    def _beyond_breaks(self, begins: int, place: int, after: _End) -> int:
        ends = [each.until + self._fresh[place] - after.lo for each in self._hand.breaks]
        return max(begins, *ends)
