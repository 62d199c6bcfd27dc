"""Hands that obey the rule, played forward: who comes, how long each part takes, what is missed.

Whether a limit was kept is judged by the assay itself and by when each part began
and ended, not by what the rule had worked out.
"""

from __future__ import annotations

from dataclasses import field, replace
from heapq import heappop, heappush
from typing import TYPE_CHECKING

from readbell.core.instant import Instant, Span, later
from readbell.core.made_later import dataclass
from readbell.core.plan.bench import FAR, Bench, Hand
from readbell.core.plan.tasks import Known, tasks_of
from readbell.core.plan.turn import turn
from readbell.core.plan.way_out import keys_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from readbell.core.plan.bench import Task
    from readbell.core.plan.turn import Turn
    from readbell.core.plan.way_out import Keys
    from readbell.core.plan.work import Lag, Part, Work


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrival:
    """Somebody who comes to be tested."""

    person: str
    arrives: Instant
    work: Work


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """One piece of work that was done."""

    person: str
    arrived: Instant
    task: Task
    place: int
    """Of the hand that did it."""
    turned: Instant
    """When the hand turned to it; gloves come first."""
    begins: Instant
    ends: Instant
    missed: tuple[str, ...]
    """Where a limit ended that was not kept: steps, or `READING`."""


@dataclass(slots=True)
class _Open:
    """One cartridge that is under way, and when its parts began and ended."""

    arrival: Arrival
    began: dict[str, Instant] = field(default_factory=dict)
    ended: dict[str, Instant] = field(default_factory=dict)


def play(
    hands: Sequence[Hand],
    arrivals: Iterable[Arrival],
    lasts: Callable[[str, Part], Span],
) -> Iterator[Deed]:
    """Yield each piece of work as it ends, until nobody is left.

    Args:
        hands: as they are before the first arrival, idle.
        arrivals: in the order of their coming; taken one by one, so it may be endless.
        lasts: how long a part takes for a person; gloves take what the work says.
    """
    yield from _Playing(hands, arrivals, lasts).deeds()


class _Playing:
    def __init__(
        self,
        hands: Sequence[Hand],
        arrivals: Iterable[Arrival],
        lasts: Callable[[str, Part], Span],
    ) -> None:
        self._bench = Bench(hands=tuple(hands), tasks=())
        self._arrivals = iter(arrivals)
        self._next = next(self._arrivals, None)
        self._lasts = lasts
        self._open: dict[str, _Open] = {}
        self._begun = 0
        self._carried: tuple[Keys, ...] = ()
        self._agenda: list[tuple[Instant, int, Deed | None]] = []

    def deeds(self) -> Iterator[Deed]:
        for place, hand in enumerate(self._bench.hands):
            heappush(self._agenda, (hand.free_most, place, None))
        asked = {place: hand.free_most for place, hand in enumerate(self._bench.hands)}
        while self._agenda:
            now, place, deed = heappop(self._agenda)
            if deed is not None:
                self._end(deed, now)
                yield deed
            elif asked.get(place) != now:
                continue  # it was asked in between, as somebody else's piece ended
            for each in self._free(place if deed is not None else None):
                asked[each] = self._ask(each, now)

    def _free(self, first: int | None) -> list[int]:
        """Return the hands that are free; the one whose piece has just ended in front."""
        free = [place for place, hand in enumerate(self._bench.hands) if hand.on is None]
        return sorted(free, key=lambda place: place != first)

    def _ask(self, place: int, now: Instant) -> Instant:
        """Let a free hand turn to something; return when it is to be asked again."""
        self._bench = self._idle(place, now).not_before(now)
        chain = self._chain(now)
        found = turn(self._bench, place, chain, now, self._carried)
        self._carried = (keys_of(found.way),)
        if found.task is None:
            at = found.at
            if self._next is not None and self._next.arrives > now:
                at = min(at, self._next.arrives)
            if at < FAR:
                heappush(self._agenda, (at, place, None))
            return at
        if found.is_start:
            self._start(chain)
        self._work(place, found, now)
        return FAR

    def _idle(self, place: int, now: Instant) -> Bench:
        hands = self._bench.hands
        idle = hands[place].idle_from(now)
        return replace(self._bench, hands=(*hands[:place], idle, *hands[place + 1 :]))

    def _chain(self, now: Instant) -> tuple[Task, ...]:
        coming = self._next
        if coming is None or coming.arrives > now:
            return ()
        return tasks_of(coming.work, f"C{self._begun + 1}", coming.person, {})

    def _start(self, chain: Sequence[Task]) -> None:
        assert self._next is not None  # noqa: S101  # a chain was made of it
        self._begun += 1
        self._open[chain[0].key[0]] = _Open(self._next)
        self._next = next(self._arrivals, None)
        self._bench = replace(self._bench, tasks=(*self._bench.tasks, *chain[1:]))

    def _work(self, place: int, found: Turn, now: Instant) -> None:
        task = found.task
        assert task is not None  # noqa: S101  # only pieces of work come here
        opened = self._open[task.key[0]]
        at = found.at
        for part in opened.arrival.work.pieces[task.key[1]].parts:
            opened.began[part.key] = at
            at = later(at, self._lasts(task.person, part))
            opened.ended[part.key] = at
        self._bench = self._bench.begun(place, task, found.at, found.at)
        deed = Deed(
            person=task.person,
            arrived=opened.arrival.arrives,
            task=task,
            place=place,
            turned=now,
            begins=found.at,
            ends=at,
            missed=_missed(opened, task),
        )
        heappush(self._agenda, (at, place, deed))

    def _end(self, deed: Deed, now: Instant) -> None:
        self._bench = self._bench.ended(deed.place, now)
        cartridge = deed.task.key[0]
        opened = self._open[cartridge]
        done = {key: Known(earliest=end, latest=end) for key, end in opened.ended.items()}
        left = tasks_of(opened.arrival.work, cartridge, deed.person, done)
        others = (each for each in self._bench.tasks if each.key[0] != cartridge)
        self._bench = replace(self._bench, tasks=(*others, *left))
        if not left:
            del self._open[cartridge]


def _missed(opened: _Open, task: Task) -> tuple[str, ...]:
    work = opened.arrival.work
    return tuple(
        lag.until
        for lag in (*work.lags, *work.inside)
        if lag.until in task.parts and not _kept(lag, opened)
    )


def _kept(lag: Lag, opened: _Open) -> bool:
    since = opened.ended[lag.since]
    in_time = lag.most is None or opened.ended[lag.until] - since <= lag.most
    return in_time and opened.began[lag.until] - since >= lag.least
