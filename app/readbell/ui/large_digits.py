"""Tags and times in letters that are read from across the room.

An own face: strokes of even weight (a cell is about twice as high as wide, so a
stroke is two cells wide and one row high), square shoulders, no slant. All
digits of one size are equally wide, so that a countdown stands still.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from rich.cells import cell_len

from readbell.ui.ink import clean
from readbell.ui.large_faces import FIVE_ROWS, HALVES, SEVEN_ROWS, STROKES

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.ui.glyphs import Glyphs

SIZES = (1, 3, 5, 7)
"""How many rows a text may take; one row is the text as it is."""

GAP = " "


def can_draw(text: str) -> bool:
    """Say whether there is a large form of every letter of `text`."""
    return all(letter in FIVE_ROWS for letter in text)


def large(text: str, rows: int, glyphs: Glyphs) -> tuple[str, ...]:
    """Return `text` as that many rows, equally wide; small in the middle row if it cannot be drawn.

    The screen goes on whatever a tag holds; whoever wants the room for
    something else asks `can_draw` first.
    """
    if rows not in SIZES:
        msg = f"large letters come in {SIZES} rows, not in {rows}"
        raise ValueError(msg)
    if rows == 1 or not can_draw(text):
        return _small(text, rows)
    face = _face(rows, glyphs)
    return tuple(GAP.join(face[letter][row] for letter in text) for row in range(rows))


def large_width(text: str, rows: int, glyphs: Glyphs) -> int:
    """Return how many cells wide the large `text` is."""
    return cell_len(large(text, rows, glyphs)[rows // 2])


def _small(text: str, rows: int) -> tuple[str, ...]:
    shown = clean(text)
    empty = " " * cell_len(shown)
    return tuple(shown if row == rows // 2 else empty for row in range(rows))


@cache
def _face(rows: int, glyphs: Glyphs) -> Mapping[str, tuple[str, ...]]:
    if rows == 3 and not glyphs.upper_half:
        return STROKES
    marks = {"#": glyphs.block, "^": glyphs.upper_half, "_": glyphs.lower_half}
    table = str.maketrans(marks)
    drawn = {3: HALVES, 5: FIVE_ROWS, 7: SEVEN_ROWS}[rows]
    return {letter: tuple(row.translate(table) for row in form) for letter, form in drawn.items()}
