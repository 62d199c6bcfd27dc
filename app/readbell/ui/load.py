"""How many read windows will be open at once, a figure a minute along the axis.

A collision is a number too, so that plain text has it.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from readbell.core.instant import MINUTE, SECOND
from readbell.ui.at_rest import at_rest
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.track import Scale, empty_track

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.ui.glyphs import Glyphs
    from readbell.ui.measures import Columns

OVER = "!"
TITLE = "windows open at once"


def load(
    board: Board, now: Instant, columns: Columns, glyphs: Glyphs, *, readers_can: int | None = None
) -> Line:
    """Return the row of figures; above `readers_can` windows at once a figure is marked."""
    axis = columns.axis
    if axis is None:
        return Line().fitted(columns.width)
    scale = Scale.of(axis)
    minutes = -(-scale.future * scale.seconds_a_column * SECOND // MINUTE)
    counts = at_rest(board).turning.most_in_each(now, minutes)
    label = line(Piece(TITLE, Token.SOFT))
    return at_columns(
        (columns.tag.column + 1, label),
        (axis.column, empty_track(scale, glyphs).fitted(scale.past + 1)),
        (axis.column + scale.past + 1, _figures(counts, scale, glyphs, readers_can)),
        width=columns.width,
    )


def most_at_once(board: Board, now: Instant, minutes: int) -> int:
    """Return the greatest number of windows open at once within so many minutes."""
    return max(at_rest(board).turning.most_in_each(now, minutes), default=0)


@lru_cache(maxsize=8)
def _figures(counts: tuple[int, ...], scale: Scale, glyphs: Glyphs, limit: int | None) -> Line:
    """Return the figures below the axis; where they are too wide, one stands for some minutes."""
    said = [_figure(count, glyphs, limit) for count in counts]
    widest = max(map(len, said), default=1)
    together = 1
    while _column(together, scale) <= widest and together < len(counts):
        together += 1
    parts = []
    for minute in range(0, len(counts), together):
        count = max(counts[minute : minute + together])
        is_over = limit is not None and count > limit
        token = Token.TEXT if is_over else Token.SOFT
        figure = line(Piece(_figure(count, glyphs, limit), token, bold=is_over))
        parts.append((_column(minute, scale), figure))
    return at_columns(*parts, width=scale.future)


def _column(minute: int, scale: Scale) -> int:
    return minute * MINUTE // (scale.seconds_a_column * SECOND)


def _figure(count: int, glyphs: Glyphs, limit: int | None) -> str:
    if not count:
        return glyphs.dead
    return f"{count}{OVER}" if limit is not None and count > limit else str(count)
