"""The starts that are left of a plan, from how the bench really stands, for usual times.

Obedient hands are played forward from the present bench, as the next safe start plays
them (`turn.py`), but every piece takes its usual time: so many more people are begun,
each as soon as that leaves a way out in which nothing is missed. Whatever runs goes
before whoever is still to come.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.plan.bench import FAR
from readbell.core.plan.tasks import tasks_of
from readbell.core.plan.turn import turn
from readbell.core.plan.way_out import keys_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.instant import Instant
    from readbell.core.plan.bench import Bench, Task
    from readbell.core.plan.way_out import Keys
    from readbell.core.plan.work import Work

TURNS_EACH = 720
"""So many turns are played for each piece that is left: idle hands look about for an hour, no more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """A piece of work as it would be done."""

    place: int
    """Of the hand in the bench."""
    task: Task
    begins: Instant
    is_start: bool
    """Whether somebody new is begun with it."""


def play_on(
    bench: Bench,
    work: Work,
    releases: Sequence[Instant],
    now: Instant,
    *,
    most_starts: int | None = None,
) -> tuple[Done, ...] | None:
    """Return what is done from `now` on, in order, until nothing is left.

    Args:
        bench: as it stands, at usual times; no hand is free before `now`.
        work: of whoever is still to be begun, at usual times.
        releases: for each of them the soonest instant at which they may be begun, never falling.
        now: the instant.
        most_starts: stop once so many were begun.

    Returns:
        None if no end came in sight.
    """
    return _PlayedOn(bench, work, releases, now).until(
        len(releases) if most_starts is None else most_starts, to_the_end=most_starts is None
    )


class _PlayedOn:
    """One play, from the bench to its end."""

    def __init__(self, bench: Bench, work: Work, releases: Sequence[Instant], now: Instant) -> None:
        self._bench = bench.not_before(now)
        self._work = work
        self._releases = releases
        self._begun = 0
        self._done: list[Done] = []
        self._carried: tuple[Keys, ...] = ()
        pieces = len(bench.tasks) + len(releases) * len(work.pieces)
        self._turns = TURNS_EACH * (pieces + len(bench.hands))

    def until(self, starts: int, *, to_the_end: bool) -> tuple[Done, ...] | None:
        """Play until so many were begun, and on until nothing is left if `to_the_end`."""
        for _ in range(self._turns):
            if self._begun >= starts and not (to_the_end and self._bench.tasks):
                return tuple(self._done)
            hands = self._bench.hands
            place = min(range(len(hands)), key=lambda each: hands[each].free_most)
            at = hands[place].free_most
            if at >= FAR:
                return None  # nobody has anything left that they could turn to
            self._bench = self._bench.ended(place, at).not_before(at)
            self._turn(place, at)
        return None

    def _turn(self, place: int, at: Instant) -> None:
        """Let the hand at `place`, free at `at`, do what it would."""
        coming = self._releases[self._begun] if self._begun < len(self._releases) else FAR
        chain: tuple[Task, ...] = ()
        if coming <= at:
            # No cartridge of a bay has such a key: each newcomer is somebody else.
            key = f"new {self._begun}"
            chain = tasks_of(self._work, key, key, {})
        found = turn(self._bench, place, chain, at, self._carried)
        self._carried = (keys_of(found.way),)
        if found.task is None:
            self._idle(place, min(found.at, coming) if coming > at else found.at)
            return
        if found.is_start:
            self._begun += 1
            self._bench = replace(self._bench, tasks=(*self._bench.tasks, *chain[1:]))
        self._bench = self._bench.begun(place, found.task, found.at, found.at)
        self._done.append(
            Done(place=place, task=found.task, begins=found.at, is_start=found.is_start)
        )

    def _idle(self, place: int, until: Instant) -> None:
        hands = self._bench.hands
        idle = hands[place].idle_from(until)
        self._bench = replace(self._bench, hands=(*hands[:place], idle, *hands[place + 1 :]))
