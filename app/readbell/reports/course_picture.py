"""The running sum of one lot as a line, strip by strip, with the limit at which it flags."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.reports.drawing import FAINT, Drawing, Stroke, Words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

WIDE, HIGH = 720.0, 262.0
LEFT, RIGHT, TOP, BOTTOM = 64.0, 690.0, 70.0, 230.0
SMALL = 9.0
ROOM_ABOVE = 1.05
MOST_POINTS = 600
"""More strips than dots on the paper: of each few the highest sum is drawn, so no flag is lost."""
PLACES = 5
RING = 6.0


def course_picture(
    title: str,
    above: str,
    steps: Sequence[int],
    *,
    limit: int,
    limit_called: str,
    flagged: int | None,
) -> Drawing:
    """Return the picture.

    Args:
        title: what it shows.
        above: a line that says how to read it.
        steps: the sum after each strip; there is one.
        limit: where it flags.
        limit_called: what the line of the limit is called.
        flagged: after so many strips it did first; None: never.
    """
    top = ROOM_ABOVE * max(limit, *steps)
    marks: list[Stroke | Words] = [
        Words(x=LEFT, y=30, text=title, size=14, bold=True),
        Words(x=LEFT, y=48, text=above),
        Stroke(points=((LEFT, BOTTOM), (RIGHT, BOTTOM))),
        Words(x=LEFT - 6, y=BOTTOM + 3, text="0", size=SMALL, right=True),
    ]
    y = _y(limit, top)
    marks.append(Stroke(points=((LEFT, y), (RIGHT, y)), wide=0.9, dashes=(6, 3)))
    marks.append(Words(x=LEFT - 6, y=y + 3, text=f"{limit:,}", size=SMALL, right=True))
    marks.append(Words(x=LEFT + 4, y=y - 4, text=limit_called, size=SMALL))
    marks += _places(len(steps))
    drawn = tuple((_x(place, len(steps)), _y(each, top)) for place, each in _fewer(steps))
    marks.append(Stroke(points=((LEFT, BOTTOM), *drawn), wide=1.4))
    if flagged is not None:
        x, at = _x(flagged, len(steps)), _y(steps[flagged - 1], top)
        corners = ((x, at - RING), (x + RING, at), (x, at + RING), (x - RING, at), (x, at - RING))
        marks.append(Stroke(points=corners, wide=1.6))
    return Drawing(wide=WIDE, high=HIGH, title=title, marks=tuple(marks))


def _places(count: int) -> Iterator[Stroke | Words]:
    for part in range(1, PLACES + 1):
        place = round(count * part / PLACES)
        x = _x(place, count)
        yield Stroke(points=((x, TOP), (x, BOTTOM)), wide=0.4, colour=FAINT)
        yield Words(x=x + 8, y=BOTTOM + 16, text=f"{place:,}", size=SMALL, right=True)


def _fewer(steps: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Yield places from 1 with their sums; of more than can be drawn the highest of each few."""
    apart = -(-len(steps) // MOST_POINTS)
    for begin in range(0, len(steps), apart):
        some = steps[begin : begin + apart]
        yield begin + len(some), max(some)


def _x(place: int, count: int) -> float:
    return LEFT + (RIGHT - LEFT) * place / count


def _y(steps: int, top: float) -> float:
    return BOTTOM - (BOTTOM - TOP) * steps / top
