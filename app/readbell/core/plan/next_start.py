"""The next safe start: the soonest instant at which one more person can be begun.

A start is safe if a sure way out is left, whatever the times of the new piece
turn out to be within their bounds. Whoever starts only then, and otherwise does
what the way out says, never misses a limit: `docs/planning.md` has the proof.
"""

from __future__ import annotations

from collections import deque
from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.instant import Instant, Span, between, later
from readbell.core.made_later import dataclass
from readbell.core.plan.bench import FAR, Bench
from readbell.core.plan.turn import LOOK_AGAIN, begin, when
from readbell.core.plan.way_out import WayOut, way_out

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.plan.bench import Key, Task
    from readbell.core.plan.way_out import Keys

COARSER = 12
"""Idle hands look again after so small a part of the time that lies between."""
MOST_LOST = 12
"""With more at risk already for each hand no start is looked for: there is far too much to do."""
MOST_TURNS = 400
MOST_TRIES = 60
"""How far ahead a start is looked for: so many turns of a hand, and so many starts tried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """A piece that is done before the start, and by which hand."""

    place: int
    task: Task


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """When one more person can be begun, and what that hangs on."""

    at: Instant | None
    """None: not within what was looked at."""
    place: int = 0
    """Which hand begins them."""
    first: tuple[Before, ...] = ()
    """What must be done before, in its order."""
    at_risk: tuple[Task, ...] = ()
    """What might be missed if they were begun at once all the same."""
    already: tuple[Task, ...] = ()
    """What might be missed even if nobody is begun: work that took longer than it should."""
    way: WayOut | None = None
    """What is left to do after the start, or without it if there is none."""
    present: WayOut | None = None
    """What is left to do if nobody is begun."""

    def is_now(self, now: Instant) -> bool:
        """Whether they can be begun at `now`."""
        return self.at is not None and self.at <= now


def next_start(
    bench: Bench,
    chain: Sequence[Task],
    now: Instant,
    *,
    within: Span = Span(0),
    carried: Sequence[Keys] = (),
) -> Start:
    """Return when the work `chain` of a new cartridge can be begun.

    What lies before it is played through with every time at its most, so in truth
    it comes no later as long as hands keep their bounds and do what is listed.

    Args:
        bench: all hands, none free before `now`, and all tasks.
        chain: all the tasks of one new cartridge, in their order.
        within: how long after an instant found safe they may in fact be begun.
        carried: ways out found before.
    """
    if not bench.hands:
        return Start(at=None)
    looking = _Looking(bench, chain, now, within, carried)
    return looking.found()


class _Looking:
    """Plays the bench forward until a start is safe."""

    def __init__(
        self,
        bench: Bench,
        chain: Sequence[Task],
        now: Instant,
        within: Span,
        carried: Sequence[Keys],
    ) -> None:
        self._bench = bench
        self._chain = chain
        self._now = now
        self._within = within
        self._carried = carried
        self._first: list[Before] = []
        self._at_risk: tuple[Task, ...] = ()

    def found(self) -> Start:
        """Play until a start is safe, nothing is left to wait for, or long enough."""
        present = way_out(self._bench, self._carried)
        self._at_risk = present.at_risk
        lost = {task.key for task in present.at_risk}
        if len(lost) > MOST_LOST * len(self._bench.hands):
            return Start(
                at=None,
                at_risk=self._at_risk,
                already=present.at_risk,
                way=present,
                present=present,
            )
        orders = [deque(task.key for task in order) for order in present.orders]
        tries = 0
        for _ in range(MOST_TURNS):
            place = min(range(len(self._bench.hands)), key=self._free_at)
            at = self._free_at(place)
            if at >= FAR or tries >= MOST_TRIES:
                break
            self._bench = self._bench.ended(place, at).not_before(at)
            # Nobody is begun before what is late or at risk already has been done.
            is_behind = bool(lost) or self._bench.has_late_work(at)
            begun = None if is_behind else self._begin(place, at)
            tries += begun is not None
            if begun is not None and begun.is_sure:
                at_risk = self._at_risk if at > self._now else ()
                return Start(
                    at=at,
                    place=place,
                    first=tuple(self._first),
                    at_risk=at_risk,
                    already=present.at_risk,
                    way=begun,
                    present=present,
                )
            if begun is not None and not self._at_risk:
                self._at_risk = begun.at_risk
            if self._take(place, at, orders[place][0] if orders[place] else None):
                lost.discard(orders[place].popleft())
        return Start(
            at=None, at_risk=self._at_risk, already=present.at_risk, way=present, present=present
        )

    def _begin(self, place: int, at: Instant) -> WayOut | None:
        return begin(self._bench, place, self._chain, at, until=later(at, self._within))

    def _free_at(self, place: int) -> Instant:
        return self._bench.hands[place].free_most

    def _take(self, place: int, at: Instant, key: Key | None) -> bool:
        """Let the free hand at `place` turn to the task `key`, or wait; say which it was."""
        task = next((each for each in self._bench.tasks if each.key == key), None)
        # The farther ahead, the coarser: it is asked again long before that.
        again = Span(max(LOOK_AGAIN, between(self._now, at) // COARSER))
        begins, _, is_due = when(self._bench, place, at, task, again)
        if task is None or not is_due:
            hands = self._bench.hands
            idle = hands[place].idle_from(begins)
            hands = (*hands[:place], idle, *hands[place + 1 :])
            self._bench = replace(self._bench, hands=hands)
            return False
        self._first.append(Before(place=place, task=task))
        self._bench = self._bench.begun(place, task, begins, begins)
        return True
