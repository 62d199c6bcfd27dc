"""A thousand people as a picture: who has it and who comes out how, each told apart by shape."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from readbell.reports.drawing import FAINT, INK, Drawing, Stroke, Words

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

WIDE, HIGH = 720.0, 520.0
LEFT, TOP = 60.0, 84.0
APART = 11.5
ACROSS = 50
"""People in a row."""
HALF = 3.6
SMALL = 8.5
LETTERS = 118
LINE = 13.0


def picture_of(
    title: str, above: Sequence[str], parts: Sequence[tuple[int, str]], below: Sequence[str]
) -> Drawing:
    """Return the picture.

    Args:
        title: what it shows.
        above: lines between the title and the people.
        parts: how many people each of the four parts has, and what they are called.
        below: what has to be said beside it; each is broken into lines.
    """
    marks: list[Stroke | Words] = [Words(x=LEFT, y=34, text=title, size=15, bold=True)]
    marks += [
        Words(x=LEFT, y=54 + place * 16, text=text, size=10.5) for place, text in enumerate(above)
    ]
    drawn, y = 0, TOP + sum(people for people, _ in parts) / ACROSS * APART + 12
    for (people, words), shape in zip(parts, _SHAPES, strict=True):
        for each in range(drawn, drawn + people):
            row, column = divmod(each, ACROSS)
            marks += shape(LEFT + (column + 0.5) * APART, TOP + row * APART)
        drawn += people
        marks += shape(LEFT + 6, y - 3.5)
        marks.append(Words(x=LEFT + 18, y=y, text=f"{people} {words}", size=10))
        y += LINE + 2
    for text in below:
        for line in wrap(text, LETTERS):
            y += LINE - 1
            marks.append(Words(x=LEFT, y=y, text=line, size=SMALL))
    return Drawing(wide=WIDE, high=HIGH, title=title, marks=tuple(marks))


def _filled(x: float, y: float) -> Iterator[Stroke]:
    yield Stroke(points=((x - HALF, y), (x + HALF, y)), wide=2 * HALF, colour=INK)


def _hollow(x: float, y: float) -> Iterator[Stroke]:
    low, high, left, right = y + HALF - 0.5, y - HALF + 0.5, x - HALF + 0.5, x + HALF - 0.5
    yield Stroke(
        points=((left, high), (right, high), (right, low), (left, low), (left, high)), wide=1.0
    )


def _crossed(x: float, y: float) -> Iterator[Stroke]:
    yield Stroke(points=((x - HALF, y - HALF), (x + HALF, y + HALF)), wide=1.8)
    yield Stroke(points=((x - HALF, y + HALF), (x + HALF, y - HALF)), wide=1.8)


def _dot(x: float, y: float) -> Iterator[Stroke]:
    yield Stroke(points=((x - 1, y), (x + 1, y)), wide=2.0, colour=FAINT)


_SHAPES: tuple[Callable[[float, float], Iterator[Stroke]], ...] = (
    _filled,
    _hollow,
    _crossed,
    _dot,
)
