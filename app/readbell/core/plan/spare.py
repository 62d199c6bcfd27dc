"""For how long a free hand may turn to something that is on no list: an early look, a question."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.instant import SECOND, Span, later
from readbell.core.plan.way_out import way_out

if TYPE_CHECKING:
    from readbell.core.instant import Instant
    from readbell.core.plan.bench import Bench

STEP = Span(15 * SECOND)
MOST_SPARE = Span(300 * SECOND)
"""More is not looked for: who is away for so long should be taken off the crew."""


def spare(bench: Bench, now: Instant) -> Span:
    """Return how long the first free hand can be away from `now` on, in steps of `STEP`.

    Nothing where no hand is free, or where something is at risk already. What is
    found is sure for every absence up to it: the hand counts as back at any instant
    from `now` on, and at that one at the latest.
    """
    place = next((place for place, hand in enumerate(bench.hands) if hand.free_most <= now), None)
    if place is None:
        return Span(0)
    least, most = 0, MOST_SPARE // STEP
    while least < most:
        middle = (least + most + 1) // 2
        if _is_sure(bench, place, later(now, Span(middle * STEP))):
            least = middle
        else:
            most = middle - 1
    return Span(least * STEP)


def _is_sure(bench: Bench, place: int, back: Instant) -> bool:
    hands = bench.hands
    away = replace(hands[place], free_most=back)
    return way_out(replace(bench, hands=(*hands[:place], away, *hands[place + 1 :]))).is_sure
