"""Shares side by side: a dot for each, with how far it may lie from there, or where it usually lies."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.reports.drawing import FAINT, Drawing, Stroke, Words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

WIDE, HIGH = 720.0, 302.0
LEFT, RIGHT, TOP, BOTTOM = 64.0, 690.0, 78.0, 262.0
SMALL = 9.0
DOT = 3.2
CAP = 4.0
MOST_LABELS = 14
TOPS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.75, 1.0)
"""Shares at which the upper end of a picture may lie."""
LINES = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """One share."""

    label: str
    value: float
    low: float
    high: float
    """Between which it may lie, or usually lies; both may be the value itself."""
    is_flagged: bool = False


def dots_picture(
    title: str, above: Sequence[str], dots: Sequence[Dot], *, middle: float | None
) -> Drawing:
    """Return the picture.

    Args:
        title: what it shows.
        above: up to two lines that say how to read it.
        dots: what is drawn, from left to right.
        middle: a share that all are held against, or None.
    """
    top = _top(dots)
    marks: list[Stroke | Words] = [Words(x=LEFT, y=30, text=title, size=14, bold=True)]
    marks += [Words(x=LEFT, y=48 + 14 * place, text=line) for place, line in enumerate(above)]
    marks += _axis(top)
    if middle is not None:
        y = _y(middle, top)
        marks.append(Stroke(points=((LEFT, y), (RIGHT, y)), wide=0.9, dashes=(6, 3)))
    each_wide = (RIGHT - LEFT) / max(1, len(dots))
    apart = -(-len(dots) // MOST_LABELS)
    for place, dot in enumerate(dots):
        x = LEFT + (place + 0.5) * each_wide
        marks += _dot(dot, x, top)
        if dot.is_flagged or place % max(1, apart) == 0:
            marks += _label(dot, x, raised=dot.is_flagged and place % max(1, apart) != 0)
    return Drawing(wide=WIDE, high=HIGH, title=title, marks=tuple(marks))


def _top(dots: Sequence[Dot]) -> float:
    highest = max((max(each.value, each.high) for each in dots), default=0.0)
    return next((each for each in TOPS if highest <= each), 1.0)


def _axis(top: float) -> Iterator[Stroke | Words]:
    for line in range(LINES + 1):
        share = top * line / LINES
        y = _y(share, top)
        yield Stroke(points=((LEFT, y), (RIGHT, y)), wide=0.4, colour=FAINT)
        yield Words(x=LEFT - 6, y=y + 3, text=f"{share * 100:g} %", size=SMALL, right=True)


def _dot(dot: Dot, x: float, top: float) -> Iterator[Stroke]:
    low, high = _y(dot.low, top), _y(dot.high, top)
    if dot.high > dot.low:
        yield Stroke(points=((x, low), (x, high)), wide=1.0)
        for y in (low, high):
            yield Stroke(points=((x - CAP, y), (x + CAP, y)), wide=1.0)
    y = _y(dot.value, top)
    yield Stroke(points=((x - DOT, y), (x + DOT, y)), wide=2 * DOT)
    if dot.is_flagged:  # a diamond, told apart without a colour
        ring = 2.6 * DOT
        corners = ((x, y - ring), (x + ring, y), (x, y + ring), (x - ring, y), (x, y - ring))
        yield Stroke(points=corners, wide=1.6)


def _label(dot: Dot, x: float, *, raised: bool) -> Iterator[Words]:
    y = BOTTOM + (30 if raised else 16)
    yield Words(x=x + 16, y=y, text=dot.label, size=SMALL, bold=dot.is_flagged, right=True)


def _y(share: float, top: float) -> float:
    return BOTTOM - (BOTTOM - TOP) * min(1.0, share / top)
