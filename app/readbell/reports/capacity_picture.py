"""How long people wait, as a picture: for each crew the share that still waits after so long."""

from __future__ import annotations

from itertools import cycle
from typing import TYPE_CHECKING

from readbell.core.instant import SECOND, Span
from readbell.core.plan.capacity import WAITS
from readbell.core.span_text import write_span
from readbell.reports.drawing import FAINT, Drawing, Stroke, Words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.plan.capacity import Capacity
    from readbell.core.plan.tally import Tally

WIDE, HIGH = 720.0, 520.0
LEFT, RIGHT, TOP, BOTTOM = 60.0, 560.0, 70.0, 330.0
LINE = 15.0
SMALL = 9.0
DASHES: tuple[tuple[float, ...], ...] = ((), (6, 3), (2, 3), (10, 3, 2, 3))
"""Crews are told apart by their dashes, and by words, not by colour."""
TICKS = (15, 30, 60, 120, 300, 600, 1_200, 1_800, 3_600, 7_200)
MOST_TICKS = 8


def picture_of(found: Capacity, words: Sequence[str]) -> Drawing:
    """Return the picture, with `words` below it."""
    title = f"{found.title}: how long people wait"
    played = [each.tally for each in found.tried if each.tally.runs]
    longest = max(60, *(each.wait_of(WAITS) // SECOND for each in played), 0)
    marks = [
        Words(x=LEFT, y=30, text=title, size=15, bold=True),
        Words(x=LEFT, y=48, text=_subtitle(found), size=11),
        *_axes(longest),
    ]
    for tally, dashes in zip(played, cycle(DASHES), strict=False):
        marks += _curve(tally, dashes, longest)
    marks += _legend(played)
    marks += [
        Words(x=LEFT, y=BOTTOM + 50 + place * LINE * 0.85, text=line, size=SMALL)
        for place, line in enumerate(words)
    ]
    return Drawing(wide=WIDE, high=HIGH, title=title, marks=tuple(marks))


def _subtitle(found: Capacity) -> str:
    premise = found.premise
    if premise is None:
        return ""
    return (
        f"{premise.per_hour:g} people an hour; the share of people who still wait after so long; "
        "each line ends where 1 in 100 are left"
    )


def _axes(longest: int) -> Iterator[Stroke | Words]:
    for percent in (0, 25, 50, 75, 100):
        y = _y(percent / 100)
        yield Stroke(points=((LEFT, y), (RIGHT, y)), wide=0.5, colour=FAINT)
        yield Words(x=LEFT - 6, y=y + 3, text=f"{percent} %", size=SMALL, right=True)
    step = next((each for each in TICKS if longest / each <= MOST_TICKS), TICKS[-1])
    for seconds in range(0, longest + 1, step):
        x = _x(seconds, longest)
        yield Stroke(points=((x, BOTTOM), (x, BOTTOM + 4)))
        text = write_span(Span(seconds * SECOND))
        yield Words(x=x + 10, y=BOTTOM + 16, text=text, size=SMALL, right=True)
    yield Stroke(points=((LEFT, TOP), (LEFT, BOTTOM), (RIGHT, BOTTOM)))


def _curve(tally: Tally, dashes: tuple[float, ...], longest: int) -> Iterator[Stroke]:
    ends = max(1, tally.wait_of(WAITS) // SECOND)
    left, points = tally.all_people, []
    for seconds, people in enumerate(tally.waits[: ends + 1]):
        left -= people
        points.append((_x(seconds, longest), _y(left / tally.all_people)))
    if len(points) > 1:
        yield Stroke(points=tuple(points), wide=1.8, dashes=dashes)


def _legend(played: Sequence[Tally]) -> Iterator[Stroke | Words]:
    for place, (tally, dashes) in enumerate(zip(played, cycle(DASHES), strict=False)):
        y = TOP + 10 + place * 2.6 * LINE
        yield Stroke(points=((RIGHT + 14, y - 3), (RIGHT + 44, y - 3)), wide=1.8, dashes=dashes)
        noun = "operator" if tally.operators == 1 else "operators"
        yield Words(x=RIGHT + 50, y=y, text=f"{tally.operators} {noun}", size=SMALL, bold=True)
        wait = write_span(tally.wait_of(WAITS))
        yield Words(x=RIGHT + 14, y=y + 12, text=f"99 of 100 wait at most {wait}", size=8)
        missed = 100 * tally.missed_share.high
        yield Words(x=RIGHT + 14, y=y + 23, text=f"missed: at most {missed:.2g} % (95 %)", size=8)


def _x(seconds: float, longest: int) -> float:
    return LEFT + (RIGHT - LEFT) * seconds / longest


def _y(share: float) -> float:
    return BOTTOM - (BOTTOM - TOP) * share
