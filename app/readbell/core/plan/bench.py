"""What lies before the hands of a bay at one instant: tasks with limits, and free hands.

A `Task` is a piece of work, or what is left of one. Its limits hold whatever the
hands-on times turn out to be within their bounds: they are worked out at the
worst of them. What hangs on a piece that is not finished yet is a `Tie`.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.instant import Instant, Span, later
from readbell.core.made_later import dataclass
from readbell.core.plan.hands_on import READING, HandsOn

if TYPE_CHECKING:
    from collections.abc import Iterator

Key = tuple[str, int]
"""Opaque id of a cartridge, and the place of the piece in its assay's work."""

FAR = Instant(1 << 62)
LONG_AGO = Instant(0)
"""Before every instant that is asked about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tie:
    """A lag to a piece of the same cartridge that is not finished: from its end to a beginning."""

    after: Key
    least: Span
    most: Span | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One unbroken piece of work that is still to be begun."""

    key: Key
    person: str
    parts: tuple[str, ...]
    """The steps that are left of it, or `READING`."""
    hands: HandsOn
    touches: bool
    gloves: Span
    """How long a change of gloves before it takes, where one is needed."""
    ready: Instant = LONG_AGO
    latest: Instant = FAR
    """The last instant at which it may be begun; `FAR` where none is stated, or all is lost."""
    ties: tuple[Tie, ...] = ()
    is_late: bool = False
    """Whether a limit has passed already: it goes before everything, though nothing is lost there."""

    @property
    def is_reading(self) -> bool:
        """Whether it is the window reading."""
        return self.parts == (READING,)

    def untied(self, after: Key, ended: Instant) -> Task:
        """Return the task once the piece `after` has ended: what hung on it is an instant now."""
        if all(tie.after != after for tie in self.ties):
            return self
        ready, latest = self.ready, self.latest
        for tie in self.ties:
            if tie.after == after:
                ready = max(ready, later(ended, tie.least))
                latest = latest if tie.most is None else min(latest, later(ended, tie.most))
        rest = tuple(tie for tie in self.ties if tie.after != after)
        return replace(self, ready=ready, latest=latest, ties=rest)


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """A stretch in which a hand does nothing: no piece may reach into it."""

    since: Instant
    until: Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """One operator: from when on they are free, and on whom they last touched a specimen."""

    name: str
    free: Instant
    """The soonest instant at which they may be free."""
    free_most: Instant
    """The latest; the same for idle hands."""
    on: Key | None = None
    """The piece they are in the middle of."""
    touched: str | None = None
    """None: nobody known, so gloves are changed before the next specimen."""
    breaks: tuple[Break, ...] = ()

    def idle_from(self, at: Instant) -> Hand:
        """Return these hands as they would be, free at `at`."""
        return replace(self, free=at, free_most=at, on=None)

    def fresh(self, task: Task) -> Span:
        """Return how long gloves take before `task`."""
        needed = task.touches and self.touched != task.person
        return task.gloves if needed else Span(0)

    def clear_of_breaks(self, begins: Instant, fresh: Span, task: Task) -> Instant:
        """Return when `task`, to be begun at `begins` after `fresh` gloves, is begun at all.

        A piece that might reach into a break is begun after it.
        """
        for each in self.breaks:
            if begins + task.hands.most > each.since and begins - fresh < each.until:
                begins = max(begins, later(each.until, fresh))
        return begins


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """All hands and all tasks. What a hand is in the middle of is no task any more."""

    hands: tuple[Hand, ...]
    tasks: tuple[Task, ...]

    def begun(self, place: int, task: Task, since: Instant, until: Instant) -> Bench:
        """Return the bench when the hand at `place` has turned to `task`.

        Args:
            place: of the hand in `hands`; it is free.
            task: among `tasks` or not.
            since: the soonest instant at which the piece itself begins.
            until: the latest; gloves are changed before it, and are not in it.
        """
        hand = replace(
            self.hands[place],
            free=later(since, task.hands.least),
            free_most=later(until, task.hands.most),
            on=task.key,
            touched=task.person if task.touches else self.hands[place].touched,
        )
        return replace(
            self,
            hands=(*self.hands[:place], hand, *self.hands[place + 1 :]),
            tasks=tuple(each for each in self.tasks if each.key != task.key),
        )

    def ended(self, place: int, at: Instant) -> Bench:
        """Return the bench when the hand at `place` is free at `at`, its piece done."""
        hand = self.hands[place]
        tasks = self.tasks
        if hand.on is not None:
            tasks = tuple(each.untied(hand.on, at) if each.ties else each for each in tasks)
        hands = (*self.hands[:place], hand.idle_from(at), *self.hands[place + 1 :])
        return Bench(hands=hands, tasks=tasks)

    def not_before(self, now: Instant) -> Bench:
        """Return the bench as known at `now`: nothing in hand can end before it any more."""
        hands = tuple(
            each
            if each.free >= now
            else replace(each, free=now, free_most=max(now, each.free_most))
            for each in self.hands
        )
        return replace(self, hands=hands)

    def has_late_work(self, now: Instant) -> bool:
        """Whether something is late already and may be gone on with: nobody is begun before that."""
        return any(task.is_late and task.ready <= now for task in self.tasks)

    def under_way(self) -> Iterator[tuple[Key, Hand]]:
        """Yield each piece that is in hand, with its hand."""
        for hand in self.hands:
            if hand.on is not None:
                yield hand.on, hand
