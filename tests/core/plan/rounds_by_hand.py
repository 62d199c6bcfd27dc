"""Rounds found by trying every whole second, and judged by playing them: slow and plain on purpose."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

Kit = tuple[tuple[int, ...], tuple[bool, ...], tuple[tuple[int, int], ...], int]
"""How long each piece takes, whether it touches, the gap before each but the first, gloves."""
ROUNDS = 14


def can_repeat(kit: Kit, begins: Sequence[Sequence[int]], period: int) -> bool:
    """Say whether hands can do these pieces in every round; found by playing many rounds.

    Args:
        kit: the work of one cartridge.
        begins: for each new person of a round, when each of their pieces begins.
        period: from round to round.
    """
    takes, touches, _, gloves = kit
    turns = sorted(
        (begin + round_ * period, takes[place], touches[place], (round_, person))
        for round_ in range(ROUNDS)
        for person, line in enumerate(begins)
        for place, begin in enumerate(line)
    )
    free, touched = -gloves, None
    for begin, length, touching, whose in turns:
        ready = free
        if touching and touched not in (None, whose):
            ready += gloves
        if begin < ready:
            return False
        free, touched = begin + length, whose if touching else touched
    return True


def lines(kit: Kit, first: int) -> Iterable[tuple[int, ...]]:
    """Yield every way to do one cartridge whose first piece begins at `first`."""
    takes, _, gaps, _ = kit
    for chosen in product(*(range(least, most + 1) for least, most in gaps)):
        begins = [first]
        for place, gap in enumerate(chosen):
            begins.append(begins[-1] + takes[place] + gap)
        yield tuple(begins)


def shortest(kit: Kit, people: int, longest: int) -> int | None:
    """Return the shortest whole round of `people`, or None if there is none up to `longest`."""
    for period in range(people * sum(kit[0]), longest + 1):
        offsets = product(*(range(period) for _ in range(people - 1)))
        for others in offsets:
            choices = [list(lines(kit, first)) for first in (0, *others)]
            if any(can_repeat(kit, begins, period) for begins in product(*choices)):
                return period
    return None
