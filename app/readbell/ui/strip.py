"""The drawn strip of a cartridge: a flat strip lying down, one upright band for each line.

What is answered so far is seen as it would look, and can be told by its texture
alone. No housing and no well are drawn: they differ from kit to kit.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from rich.cells import cell_len

from readbell.ui.ink import Line, Piece, Token, clean, line

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.ui.glyphs import Glyphs


class Shade(StrEnum):
    """What has been answered for one line of a strip."""

    OPEN = "open"
    """Nobody has answered yet."""
    ABSENT = "absent"
    FAINT = "faint"
    CLEAR = "clear"
    """Clear; or, of a control line, present."""


TEXTURES = {Shade.CLEAR: "clear", Shade.FAINT: "faint"}
"""The mark that fills a band; a line that is not there leaves the strip bare."""

WIDTH = 62
ROWS = 7
BROAD_BAND = 3
"""Cells across a band, where there is room for them."""
ROOM_FOR_BROAD = 5
ROOM_FOR_WELL = 8


def strip(
    lines: Sequence[tuple[str, Shade]],
    chosen: int | None,
    glyphs: Glyphs,
    *,
    width: int = WIDTH,
    rows: int = ROWS,
    well: str = "",
) -> tuple[Line, ...]:
    """Return the strip with its frame, the mark under the line `chosen`, and the printed names.

    `lines` come in the device's own order, the control line among them, each
    with the name printed beside it. `well` is the word for the end where the
    drops go, left out where it would stand in the way. It is the right one: what
    stands first, the control line, is the last that the fluid comes to. All rows
    are equally wide: `width`, or as many cells as the lines need.
    """
    width = max(width, 2 + 2 * len(lines))
    kept, slot = _slots(len(lines), width, well)
    centres = [1 + slot * place + slot // 2 for place in range(len(lines))]
    shades = [shade for _, shade in lines]
    word = clean(well) if kept else ""
    return (
        *_framed(shades, centres, slot, width, rows, glyphs, word),
        _mark(centres, chosen, width, glyphs),
        _names([name for name, _ in lines], centres, slot, chosen, width),
    )


def small_strip(
    shades: Sequence[Shade], glyphs: Glyphs, *, width: int = 10, rows: int = 2
) -> tuple[Line, ...]:
    """Return a strip without names, as a reminder of what an answer looks like."""
    width = max(width, 2 + 2 * len(shades))
    _, slot = _slots(len(shades), width, "")
    centres = [1 + slot * place + slot // 2 for place in range(len(shades))]
    return _framed(shades, centres, slot, width, rows, glyphs, "")


def _slots(count: int, width: int, well: str) -> tuple[int, int]:
    """Return how many cells are kept for the well, and how many each line has to itself."""
    inner = width - 2
    needed = cell_len(clean(well)) + 3 if well else 0
    if count and needed and (inner - needed) // count >= ROOM_FOR_WELL:
        return needed, (inner - needed) // count
    return 0, inner // max(1, count)


def _framed(
    shades: Sequence[Shade],
    centres: Sequence[int],
    slot: int,
    width: int,
    rows: int,
    glyphs: Glyphs,
    well: str,
) -> tuple[Line, ...]:
    edge = glyphs.rule * (width - 2)
    across = [
        _across(shades, centres, slot, width, glyphs, row == rows // 2, well) for row in range(rows)
    ]
    return (
        line(Piece(f"{glyphs.top_left}{edge}{glyphs.top_right}", Token.PAPER)),
        *across,
        line(Piece(f"{glyphs.bottom_left}{edge}{glyphs.bottom_right}", Token.PAPER)),
    )


def _across(
    shades: Sequence[Shade],
    centres: Sequence[int],
    slot: int,
    width: int,
    glyphs: Glyphs,
    in_the_middle: bool,
    well: str,
) -> Line:
    """Return one row through the strip: the frame, the bands, and in the middle what is said once."""
    half = BROAD_BAND // 2 if slot >= ROOM_FOR_BROAD else 0
    pieces = [Piece(glyphs.upright, Token.PAPER)]
    at = 1
    for shade, centre in zip(shades, centres, strict=True):
        pieces.append(Piece(" " * (centre - half - at), Token.PAPER))
        pieces.append(_band(shade, 2 * half + 1, glyphs, in_the_middle))
        at = centre + half + 1
    word = f"{well}  " if well and in_the_middle else ""
    bare = " " * (width - 1 - at - cell_len(word))
    pieces.append(Piece(f"{bare}{word}{glyphs.upright}", Token.PAPER))
    return line(*pieces)


def _band(shade: Shade, width: int, glyphs: Glyphs, in_the_middle: bool) -> Piece:
    if shade in TEXTURES:
        return Piece(getattr(glyphs, TEXTURES[shade]) * width, Token.BAND)
    # Once, not as a column: a column of marks could be taken for a line.
    is_asked = shade is Shade.OPEN and in_the_middle
    return Piece((glyphs.open if is_asked else "").center(width), Token.PAPER)


def _mark(centres: Sequence[int], chosen: int | None, width: int, glyphs: Glyphs) -> Line:
    if chosen is None or not 0 <= chosen < len(centres):
        return line(" " * width)
    return line(" " * centres[chosen], Piece(glyphs.chosen, bold=True)).fitted(width)


def _names(
    names: Sequence[str], centres: Sequence[int], slot: int, chosen: int | None, width: int
) -> Line:
    """Return the printed names, each under the middle of its line and cut to its own slot."""
    made = Line()
    for place, (name, centre) in enumerate(zip(names, centres, strict=True)):
        shown = clean(name)
        room = min(cell_len(shown), max(1, slot - 1))
        token = Token.TEXT if place == chosen else Token.SOFT
        under = line(Piece(shown, token, bold=place == chosen)).fitted(room)
        made = made.fitted(max(made.width, centre - room // 2)) + under
    return made.fitted(width)
