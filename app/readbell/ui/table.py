"""A list of things to choose from, in columns."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.ui.form import MARGIN, Painted, Spot
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.wrapped import shortened

if TYPE_CHECKING:
    from collections.abc import Sequence

Row = tuple[str, tuple[tuple[int, str], ...]]
"""What a row is picked by, and its words with their columns."""


def table(head: Row, rows: Sequence[Row], cursor: int, width: int, height: int) -> Painted:
    """Return the rows in sight, the chosen one always among them; a click chooses one."""
    place = min(cursor, len(rows) - 1)
    painted = Painted((in_columns(head[1], Token.SOFT, width),)) if height > 1 else Painted(())
    room = height - len(painted.lines)
    first = min(max(0, place - room + 1), max(0, len(rows) - room))
    for number, (value, words) in enumerate(rows[first : first + room], start=first):
        here = number == place
        mark = (1, ">") if here else (1, " ")
        made = in_columns((mark, *words), Token.TEXT if here else Token.SOFT, width, bold=here)
        painted = painted.then(Painted((made,), (Spot(0, 0, width, "thing", value),)))
    return painted


def in_columns(
    words: Sequence[tuple[int, str]], token: Token, width: int, *, bold: bool = False
) -> Line:
    """Return words at their columns; a column that has no room at all is left out."""
    ends = [*(at for at, _ in words), width + 1][1:]
    parts = [
        (
            at,
            line(Piece(shortened(said, end - at - 1) or said[: max(0, end - at - 1)], token, bold)),
        )
        for (at, said), end in zip(words, ends, strict=True)
        if at + MARGIN < width or at < MARGIN
    ]
    return at_columns(*parts, width=width)
