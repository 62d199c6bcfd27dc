"""What each hand does next, in order, at the usual times: the list that the rule asks to be kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import Instant, Span, later
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.plan.bench import Bench, Hand, Key, Task
    from readbell.core.plan.next_start import Start


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One piece of work on the list of a hand."""

    task: Task
    begins: Instant
    """Gloves are changed before it."""
    ends: Instant
    fresh: Span
    """How long that takes."""
    is_start: bool = False
    """Whether somebody new is begun with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Agenda:
    """The list of one hand."""

    hand: Hand
    entries: tuple[Entry, ...]


def agendas(bench: Bench, chain: Sequence[Task], start: Start) -> tuple[Agenda, ...]:
    """Return the list of each hand: what goes before the start, the start, and what follows.

    Args:
        bench: what the start was worked out from.
        chain: the tasks of whoever is begun.
        start: the answer.
    """
    # As they were before they were played through at their longest.
    tasks = {task.key: task for task in (*bench.tasks, *chain)}
    orders = [
        [tasks[each.task.key] for each in start.first if each.place == place]
        for place in range(len(bench.hands))
    ]
    if start.at is not None:
        orders[start.place].append(chain[0])
    if start.way is not None:
        for order, rest in zip(orders, start.way.orders, strict=True):
            order.extend(tasks[each.key] for each in rest)
    return _Writing(bench, orders, chain).written()


class _Writing:
    def __init__(
        self,
        bench: Bench,
        orders: Sequence[Sequence[Task]],
        chain: Sequence[Task],
    ) -> None:
        self._hands = bench.hands
        self._orders = orders
        self._new = chain[0].key if chain else None
        self._ends: dict[Key, Instant] = {key: _usual_end(hand) for key, hand in bench.under_way()}
        self._free = [_usual_end(hand) for hand in bench.hands]
        self._touched = [hand.touched for hand in bench.hands]
        self._entries: list[list[Entry]] = [[] for _ in bench.hands]

    def written(self) -> tuple[Agenda, ...]:
        """Write hand by hand; a hand that waits for another's piece is written once that is."""
        left = True
        while left:
            left = False
            for place, order in enumerate(self._orders):
                done = len(self._entries[place])
                while done < len(order) and self._is_known(order[done]):
                    self._write(place, order[done])
                    done, left = done + 1, True
        return tuple(
            Agenda(hand=hand, entries=tuple(entries))
            for hand, entries in zip(self._hands, self._entries, strict=True)
        )

    def _is_known(self, task: Task) -> bool:
        return all(tie.after in self._ends for tie in task.ties)

    def _write(self, place: int, task: Task) -> None:
        needed = task.touches and self._touched[place] != task.person
        fresh = task.gloves if needed else Span(0)
        begins = max(later(self._free[place], fresh), task.ready)
        for tie in task.ties:
            begins = max(begins, later(self._ends[tie.after], tie.least))
        is_start = task.key == self._new
        begins = self._hands[place].clear_of_breaks(begins, fresh, task)
        ends = later(begins, task.hands.usual)
        self._touched[place] = task.person if task.touches else self._touched[place]
        self._free[place] = self._ends[task.key] = ends
        self._entries[place].append(
            Entry(task=task, begins=begins, ends=ends, fresh=fresh, is_start=is_start)
        )


def _usual_end(hand: Hand) -> Instant:
    """Return when a hand is mostly free: half way between the soonest and the latest."""
    return Instant((hand.free + hand.free_most) // 2)
