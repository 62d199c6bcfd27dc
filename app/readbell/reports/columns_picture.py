"""Counts side by side: a column for each, as of hours of a day or of lengths."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.reports.drawing import FAINT, Drawing, Stroke, Words

if TYPE_CHECKING:
    from collections.abc import Sequence

WIDE, HIGH = 720.0, 238.0
LEFT, RIGHT, TOP, BOTTOM = 64.0, 690.0, 70.0, 214.0
SMALL = 9.0
MOST_LABELS = 16
FILLED = 0.72
"""How much of its place a column fills."""
WIDEST = 48.0


def columns_picture(title: str, above: str, columns: Sequence[tuple[str, int]]) -> Drawing:
    """Return the picture of `columns`: what each is called, and how many."""
    most = max((count for _, count in columns), default=0)
    marks: list[Stroke | Words] = [
        Words(x=LEFT, y=30, text=title, size=14, bold=True),
        Words(x=LEFT, y=48, text=above),
        Stroke(points=((LEFT, BOTTOM), (RIGHT, BOTTOM))),
        Stroke(points=((LEFT, TOP), (RIGHT, TOP)), wide=0.4, colour=FAINT),
        Words(x=LEFT - 6, y=TOP + 3, text=f"{most:,}", size=SMALL, right=True),
        Words(x=LEFT - 6, y=BOTTOM + 3, text="0", size=SMALL, right=True),
    ]
    each_wide = (RIGHT - LEFT) / max(1, len(columns))
    apart = max(1, -(-len(columns) // MOST_LABELS))
    for place, (label, count) in enumerate(columns):
        x = LEFT + (place + 0.5) * each_wide
        if count:
            y = BOTTOM - (BOTTOM - TOP) * count / most
            marks.append(Stroke(points=((x, BOTTOM), (x, y)), wide=min(each_wide * FILLED, WIDEST)))
        if place % apart == 0:
            text = Words(x=x + 8, y=BOTTOM + 14, text=label, size=SMALL, right=True)
            marks.append(text)
    return Drawing(wide=WIDE, high=HIGH, title=title, marks=tuple(marks))
