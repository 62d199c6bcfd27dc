"""What a free hand turns to: a new person if that is safe, else what the way out says.

That is the whole rule. From a bench with a sure way out it always leads to a bench
with a sure way out, as long as hands keep their bounds: so nothing is ever missed.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.instant import SECOND, Span, earlier, later
from readbell.core.made_later import dataclass
from readbell.core.plan.bench import FAR
from readbell.core.plan.way_out import WayOut, way_out

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.instant import Instant
    from readbell.core.plan.bench import Bench, Hand, Task
    from readbell.core.plan.way_out import Keys

LOOK_AGAIN = Span(5 * SECOND)
"""How soon idle hands ask again while nothing changes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """What one free hand does next."""

    way: WayOut
    """What is left for everybody: with the new person if one is begun, else with `task`."""
    task: Task | None = None
    """None: it waits."""
    is_start: bool = False
    """Whether `task` is the first piece of somebody new."""
    at: Instant
    """When the piece begins, gloves changed before it; or until when to wait."""
    fresh: Span = Span(0)
    """How long gloves take before it."""


def turn(
    bench: Bench,
    place: int,
    chain: Sequence[Task],
    now: Instant,
    carried: Sequence[Keys] = (),
) -> Turn:
    """Return what the free hand at `place` does at `now`.

    Args:
        bench: all hands, none free before `now`, and all tasks.
        chain: all the tasks of the next new cartridge, in their order; none if nobody waits.
        carried: ways out found before.
    """
    if chain and not bench.has_late_work(now):
        begun = begin(bench, place, chain, now, carried=carried)
        if begun is not None and begun.is_sure:
            fresh = bench.hands[place].fresh(chain[0])
            return Turn(way=begun, task=chain[0], is_start=True, at=later(now, fresh), fresh=fresh)
    return go_on(bench, place, now, way_out(bench, carried))


def begin(
    bench: Bench,
    place: int,
    chain: Sequence[Task],
    since: Instant,
    *,
    until: Instant | None = None,
    carried: Sequence[Keys] = (),
) -> WayOut | None:
    """Return the way out once the free hand at `place` has begun `chain`; None: a break forbids it.

    Args:
        bench: all hands and tasks; no hand is free before `since`.
        chain: all the tasks of one new cartridge, in their order.
        since: the soonest instant at which the hand turns to it.
        until: the latest, where it is not known exactly.
        carried: ways out found before.
    """
    first, *rest = chain
    hand = bench.hands[place]
    fresh = hand.fresh(first)
    begins = later(since if until is None else until, fresh)
    if hand.clear_of_breaks(begins, Span(begins - since), first) != begins:
        return None
    # Gloves may take no time at all: the soonest end counts without them.
    after = bench.begun(place, first, since, begins)
    return way_out(replace(after, tasks=(*after.tasks, *rest)), carried)


def go_on(bench: Bench, place: int, now: Instant, way: WayOut) -> Turn:
    """Return what the free hand at `place` does at `now` if nobody new is begun."""
    order = way.orders[place]
    at, fresh, is_due = when(bench, place, now, order[0] if order else None)
    return Turn(way=way, task=order[0] if is_due else None, at=at, fresh=fresh)


def when(
    bench: Bench, place: int, now: Instant, task: Task | None, again: Span = LOOK_AGAIN
) -> tuple[Instant, Span, bool]:
    """Return when the free hand at `place` begins `task`, how long gloves take before it, and True.

    Where it cannot be turned to at `now`, or there is none, the instant is when to ask again,
    after `again` at the latest, and the last is False.
    """
    hand = bench.hands[place]
    if task is None:
        return _idle_until(bench, hand, now, again), Span(0), False
    if task.ties:
        # It hangs on what other hands are in the middle of: nobody knows yet when it is ready.
        return later(now, again), Span(0), False
    fresh = hand.fresh(task)
    begins = hand.clear_of_breaks(max(later(now, fresh), task.ready), fresh, task)
    if begins - fresh > now:
        return min(earlier(begins, fresh), later(now, again)), Span(0), False
    return begins, fresh, True


def _idle_until(bench: Bench, hand: Hand, now: Instant, again: Span) -> Instant:
    """Return when something may change for a hand that has nothing to do; `FAR`: nothing will."""
    others = [each.free_most for each in bench.hands if each is not hand]
    pauses = [each.until for each in hand.breaks]
    coming = [each for each in (*others, *pauses) if each > now]
    return min((*coming, later(now, again))) if coming or bench.tasks else FAR
