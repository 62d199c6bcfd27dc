"""The shortest timetable of a small batch, by trying every order of every piece.

For each way to share the pieces out and each order of each pair of hands, the soonest
times follow from the lags alone: they are pushed later until nothing is broken, or
found never to fit. Nothing here is shared with the planners but the question.
"""

from __future__ import annotations

import random
from typing import TYPE_CHECKING

from core.plan.made_up import piece, work
from readbell.core.instant import SECOND, Span
from readbell.core.plan.batch.job import Batch, Fault, batch_of
from readbell.core.plan.hands_on import READING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.plan.work import Work

Key = tuple[int, int]
Edge = tuple[Key, Key, int]


def shortest(batch: Batch) -> int | None:
    """Return when the shortest timetable ends, in milliseconds; None if nothing keeps the rules."""
    ends = [found for orders in _orders(batch) if (found := _soonest(batch, orders)) is not None]
    return min(ends, default=None)


def _orders(batch: Batch) -> Iterator[tuple[tuple[Key, ...], ...]]:
    pieces = len(batch.takes)
    seen = set()

    def go(done: tuple[int, ...], orders: tuple[tuple[Key, ...], ...]) -> Iterator[object]:
        if all(each == pieces for each in done):
            yield orders
            return
        for person, next_piece in enumerate(done):
            if next_piece == pieces:
                continue
            after = (*done[:person], next_piece + 1, *done[person + 1 :])
            for hands, order in enumerate(orders):
                longer = (*order, (person, next_piece))
                state = (*orders[:hands], longer, *orders[hands + 1 :])
                if state not in seen:
                    seen.add(state)
                    yield from go(after, state)

    yield from go((0,) * batch.people, ((),) * batch.operators)  # type: ignore[misc]


def _soonest(batch: Batch, orders: tuple[tuple[Key, ...], ...]) -> int | None:
    takes = batch.takes
    begins = {
        (person, place): int(arrives)
        for person, arrives in enumerate(batch.arrivals)
        for place in range(len(takes))
    }
    edges: list[Edge] = []
    for person in range(batch.people):
        for tie in batch.ties:
            one, other = (person, tie.first), (person, tie.second)
            edges.append((one, other, takes[tie.first] + tie.least))
            if tie.most is not None:
                edges.append((other, one, -(takes[tie.first] + tie.most)))
    for order in orders:
        touched = None
        for place, key in enumerate(order):
            change = 0
            if batch.touches[key[1]]:
                if touched is not None and touched != key[0]:
                    change = int(batch.work.gloves)
                touched = key[0]
            if place:
                before = order[place - 1]
                edges.append((before, key, takes[before[1]] + change))
    for _ in range(len(begins) + 1):
        moved = False
        for one, other, least in edges:
            if begins[one] + least > begins[other]:
                begins[other] = begins[one] + least
                moved = True
        if not moved:
            return max(begins[key] + takes[key[1]] for key in begins)
    return None


def chance_batch(seed: int, sizes: tuple[tuple[int, int], ...]) -> Batch:
    """Return a batch of made-up figures, the same for the same seed."""
    chance = random.Random(seed)  # noqa: S311  # made-up work, not a secret
    while True:
        people, operators = chance.choice(sizes)
        found = batch_of(
            _chance_work(chance),
            arrivals=_chance_arrivals(chance, people),
            operators=operators,
        )
        if not isinstance(found, Fault):
            return found


def _chance_work(chance: random.Random) -> Work:
    swab, drops, read = chance.randint(1, 9), chance.randint(1, 5), chance.randint(1, 4)
    wait, opens = chance.randint(0, 9), chance.randint(0, 30)
    wide = chance.choice((0, 1, 3, 8, None))
    return work(
        piece("swab", swab, touches=chance.random() < 0.8),
        piece("drops", drops, touches=chance.random() < 0.8),
        piece(READING, read),
        gaps=(
            (0, 1, wait, None if wide is None else wait + wide),
            (1, 2, opens, chance.choice((None, opens, opens + 5, opens + 15))),
        ),
        gloves=chance.choice((0, 0, 1, 2, 4)),
    )


def _chance_arrivals(chance: random.Random, people: int) -> tuple[Span, ...]:
    if chance.random() < 0.6:
        return (Span(0),) * people
    times = sorted(chance.randint(0, 20) for _ in range(people))
    return tuple(Span(each * SECOND) for each in times)
