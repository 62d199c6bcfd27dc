"""A batch plan as a picture for the wall: lanes of the operators, and a row for each person."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import MINUTE, SECOND, Span
from readbell.core.span_text import write_span
from readbell.reports.drawing import FAINT, Drawing, Stroke, Words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.plan.batch.job import Batch
    from readbell.core.plan.batch.plan import Placed, Plan

NARROW = 842.0
"""The long side of A4, in points; a longer plan gets a wider page."""
POINTS_A_SECOND = 0.18
LEFT, RIGHT, TOP = 78.0, 24.0, 92.0
LANE, ROW, LINE = 30.0, 15.0, 12.0
SMALL = 8.0
TICKS = tuple(Span(minutes * MINUTE) for minutes in (1, 2, 5, 10, 15, 30, 60))
TICK_APART = 46.0
FIRST, FURTHER, READING = (10.0, "#1b1b1b"), (10.0, "#8a8a8a"), (5.0, "#1b1b1b")
"""How thick, and how dark: told apart on any printer."""
NUMBER_WIDE = 5.0


def picture_of(batch: Batch, plan: Plan, words: Sequence[str]) -> Drawing:
    """Return the picture, with `words`, the first of them its title, above and below it."""
    wide = max(NARROW, LEFT + RIGHT + plan.ends / SECOND * POINTS_A_SECOND)
    scale = (wide - LEFT - RIGHT) / plan.ends
    rows = TOP + batch.operators * LANE + 14
    bottom = rows + batch.people * ROW
    marks: list[Stroke | Words] = [Words(x=LEFT, y=30, text=words[0], size=15, bold=True)]
    marks += [
        Words(x=LEFT, y=46 + place * LINE, text=line, size=9)
        for place, line in enumerate(words[1:3])
    ]
    marks += _axis(plan.ends, scale, bottom)
    for operator in range(batch.operators):
        y = TOP + operator * LANE + 18
        marks.append(Words(x=LEFT - 6, y=y + 4, text=f"operator {operator + 1}", right=True))
        for each in plan.of_operator(operator):
            marks += _piece(batch, each, y, scale, number=True)
    for person in range(batch.people):
        y = rows + person * ROW + 8
        own = [each for each in plan.placed if each.person == person]
        marks.append(Words(x=LEFT - 6, y=y + 3, text=f"person {person + 1}", size=9, right=True))
        waits = ((_x(own[0].begins, scale), y), (_x(own[-1].ends, scale), y))
        marks.append(Stroke(points=waits, wide=0.6, colour=FAINT))
        for each in own:
            marks += _piece(batch, each, y, scale, number=False)
    marks += _legend(batch, bottom + 22)
    below = [*words[3:]]
    marks += [
        Words(x=LEFT, y=bottom + 42 + place * LINE, text=line, size=SMALL)
        for place, line in enumerate(below)
    ]
    high = bottom + 56 + len(below) * LINE
    return Drawing(wide=wide, high=high, title=words[0], marks=tuple(marks))


def _piece(
    batch: Batch, each: Placed, y: float, scale: float, *, number: bool
) -> Iterator[Stroke | Words]:
    thick, colour = _look(batch, each.piece)
    from_, until = _x(each.begins, scale), _x(each.ends, scale)
    yield Stroke(points=((from_, y), (until, y)), wide=thick, colour=colour)
    text = str(each.person + 1)
    if number and until - from_ >= NUMBER_WIDE * len(text) * 0.8:
        yield Words(x=from_, y=y - 7, text=text, size=7)


def _look(batch: Batch, piece: int) -> tuple[float, str]:
    if piece == 0:
        return FIRST
    return READING if piece == len(batch.work.pieces) - 1 else FURTHER


def _axis(ends: int, scale: float, bottom: float) -> Iterator[Stroke | Words]:
    step = next((tick for tick in TICKS if tick * scale >= TICK_APART), TICKS[-1])
    for at in range(0, int(ends) + 1, int(step)):
        x = _x(at, scale)
        yield Stroke(points=((x, TOP - 6), (x, bottom)), wide=0.4, colour=FAINT)
        yield Words(x=x + 2, y=TOP - 10, text=write_span(Span(at)), size=SMALL)


def _legend(batch: Batch, y: float) -> Iterator[Stroke | Words]:
    x = LEFT
    for piece, work in enumerate(batch.work.pieces):
        thick, colour = _look(batch, piece)
        yield Stroke(points=((x, y - 3), (x + 16, y - 3)), wide=thick, colour=colour)
        text = ", ".join(part.key for part in work.parts)
        yield Words(x=x + 20, y=y, text=text, size=SMALL)
        x += 36 + 4.6 * len(text)


def _x(at: int, scale: float) -> float:
    return LEFT + at * scale
