"""The room of the figures: what today and this week have come to, at a glance."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.stock import lots_on_hold
from readbell.phrases.week_words import (
    FEW_SAID,
    HEAD,
    MORE,
    NOT_COUNTED,
    say_flagged,
    week_bars,
    week_rows,
)
from readbell.ui.ink import Line, Piece, Token, line
from readbell.ui.table import in_columns
from readbell.ui.wrapped import wrapped

if TYPE_CHECKING:
    from readbell.hand.scene import Scene
    from readbell.ui.glyphs import Glyphs

NAME_FROM, NAME_WIDE, BAR_FROM = 3, 15, 10
COUNT_WIDE = 8
COLUMN = 40
"""At most: what belongs together is not to stand at both ends of a wide screen."""


def figures_room(
    scene: Scene, glyphs: Glyphs, width: int, height: int, *, masked: bool
) -> tuple[Line, ...]:
    """Return what the room says, cut to `height` lines; `masked` hides how many were positive."""
    week = scene.week
    if week is None:
        return (line("  ", Piece(NOT_COUNTED, Token.SOFT)),)[:height]
    room = max(1, min(COLUMN, (width - NAME_FROM - NAME_WIDE) // 2))
    first = NAME_FROM + NAME_WIDE
    at = (NAME_FROM, first, first + room)
    made = [in_columns(tuple(zip(at, HEAD, strict=True)), Token.SOFT, width)]
    made += [
        in_columns(tuple(zip(at, row, strict=True)), Token.TEXT, width)
        for row in week_rows(week, masked=masked)
    ]
    made += [
        line(" " * NAME_FROM, Piece(each, Token.TEXT, bold=True))
        for said in say_flagged(week, lots_on_hold(scene.board))
        for each in wrapped(said, max(1, width - 4))
    ]
    bars = list(week_bars(week))
    if height > len(made) + len(bars):
        made.append(line())
    most = max((count for _, count in bars), default=0)
    longest = max(1, min(2 * COLUMN, width - NAME_FROM - BAR_FROM - COUNT_WIDE))
    for day, count in bars:
        bar = glyphs.window * (longest * count // max(1, most))
        made.append(
            line(
                " " * NAME_FROM,
                Piece(day.ljust(BAR_FROM), Token.SOFT),
                Piece(f"{bar} {count:,}" if bar else f"{count:,}", Token.TEXT),
            )
        )
    for said in (FEW_SAID, MORE):
        made += [
            line(" " * NAME_FROM, Piece(each, Token.SOFT))
            for each in wrapped(said, max(1, width - 4))
        ]
    return tuple(made[:height])
