"""How many read windows will be open at once, a figure a minute along the axis.

A collision is a number too, so that plain text has it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import MINUTE, SECOND, Instant, later
from readbell.ui.at_rest import at_rest
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.track import Scale, empty_track

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readbell.core.board.board import Board
    from readbell.core.cartridge.window import Window
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
    counts = open_at_once(at_rest(board).windows, now, minutes)
    label = line(Piece(TITLE, Token.SOFT))
    return at_columns(
        (columns.tag.column + 1, label),
        (axis.column, empty_track(scale, glyphs).fitted(scale.past + 1)),
        (axis.column + scale.past + 1, _figures(counts, scale, glyphs, readers_can)),
        width=columns.width,
    )


def most_at_once(board: Board, now: Instant, minutes: int) -> int:
    """Return the greatest number of windows open at once within so many minutes."""
    return max(open_at_once(at_rest(board).windows, now, minutes), default=0)


def open_at_once(windows: Iterable[Window], now: Instant, minutes: int) -> tuple[int, ...]:
    """Return for each minute from `now` on how many windows are open at once at most within it."""
    horizon = later(now, MINUTE) + (minutes - 1) * MINUTE
    turns: list[tuple[int, int]] = []
    open_now = 0
    for span in windows:
        lapses = span.lapses
        if (lapses is not None and lapses <= now) or span.opens >= horizon:
            continue
        if span.opens <= now:
            open_now += 1
        else:
            turns.append((span.opens, 1))
        if lapses is not None and lapses < horizon:
            turns.append((lapses, -1))
    return _most_in_each(sorted(turns), open_now, now, minutes)


def _most_in_each(
    turns: Sequence[tuple[int, int]], count: int, now: Instant, minutes: int
) -> tuple[int, ...]:
    """Walk through the turns, -1 before +1 at one instant: a close frees a reader."""
    most, place = [], 0
    for minute in range(minutes):
        greatest, ends = count, now + (minute + 1) * MINUTE
        while place < len(turns) and turns[place][0] < ends:
            # What turns with the minute itself counts from its first instant.
            begins_with = turns[place][0] == ends - MINUTE
            count += turns[place][1]
            greatest = count if begins_with and turns[place][1] < 0 else max(greatest, count)
            place += 1
        most.append(greatest)
    return tuple(most)


def _figures(counts: Sequence[int], scale: Scale, glyphs: Glyphs, limit: int | None) -> Line:
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
