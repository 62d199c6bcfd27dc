"""The strip of a virtual cartridge, drawn as it looks at one instant.

What is to be seen on it can be told by its texture alone. It is the world and no help:
nothing on it is named but what is printed beside the lines of any such device. The drops
fall at the right: the control line is the last that the fluid comes to, or it would prove
nothing of the others.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import cell_len

from readbell.core.reading.bands import Unreadable
from readbell.core.rehearsal.virtual_cartridge import Shade
from readbell.ui.ink import Line, Piece, Token, clean, line

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.rehearsal.virtual_cartridge import Drawn
    from readbell.ui.glyphs import Glyphs

WELL = "drops"
LEAST_SLOT = 4
BAND = 3
"""Cells across a line."""
WAVES = "~"
FRONT = "("
"""Where the fluid has come to, on its way from the right."""
CRACK = "/"
SMEARED_FROM, SMEARED_TO = 0.25, 0.85
"""Of its length; the smear lies over the lines."""
STOPPED_AT = 0.45
"""Of its length, from the left: short of the control line."""
THOUSANDTHS = 1000


def bench_strip(
    drawn: Drawn, marks: Sequence[str], glyphs: Glyphs, *, width: int, rows: int
) -> tuple[Line, ...]:
    """Return the strip with its frame, `rows` lines in all.

    Args:
        drawn: what it looks like now.
        marks: what is printed beside the control line, then beside each test line.
        glyphs: the marks to draw with.
        width: cells of each row.
        rows: 3 or more; the printed names stand in the lower edge.
    """
    inner = max(width - 2, len(marks) * LEAST_SLOT)
    shades = [Shade.CLEAR if drawn.control else Shade.ABSENT, *(each for _, each in drawn.lines)]
    kept = len(WELL) + 3 if (inner - len(WELL) - 3) // len(marks) >= LEAST_SLOT + 2 else 0
    slot = (inner - kept) // len(marks)
    centres = [slot * place + slot // 2 for place in range(len(marks))]
    middle = (rows - 2) // 2
    body = [
        _row(drawn, shades, centres, inner, row, glyphs, well=bool(kept) and row == middle)
        for row in range(rows - 2)
    ]
    edge = glyphs.rule * inner
    return (
        line(Piece(f"{glyphs.top_left}{edge}{glyphs.top_right}", Token.PAPER)),
        *body,
        _lower_edge(marks, centres, inner, glyphs),
    )


def _row(
    drawn: Drawn,
    shades: Sequence[Shade],
    centres: Sequence[int],
    inner: int,
    row: int,
    glyphs: Glyphs,
    *,
    well: bool,
) -> Line:
    cells = [" "] * inner
    for shade, centre in zip(shades, centres, strict=True):
        for offset, sign in enumerate(_band(shade, glyphs)):
            cells[centre - BAND // 2 + offset] = sign
    if drawn.front is not None:
        cells[inner - 1 - inner * drawn.front // THOUSANDTHS] = FRONT
    _spoil(cells, drawn.spoilt, row, glyphs)
    if well:
        cells[-2 - len(WELL) : -2] = WELL
    pieces = [Piece(glyphs.upright, Token.PAPER)]
    inked = {glyphs.clear, glyphs.faint, glyphs.trace, WAVES, FRONT, CRACK}
    for sign in cells:
        token = Token.BAND if sign in inked else Token.PAPER
        if pieces[-1].token is token:
            pieces[-1] = Piece(pieces[-1].text + sign, token)
        else:
            pieces.append(Piece(sign, token))
    pieces.append(Piece(glyphs.upright, Token.PAPER))
    return line(*pieces)


def _band(shade: Shade, glyphs: Glyphs) -> str:
    match shade:
        case Shade.CLEAR:
            return glyphs.clear * BAND
        case Shade.FAINT:
            return glyphs.faint * BAND
        case Shade.VERY_FAINT:
            return f" {glyphs.trace} "
        case Shade.ABSENT:
            return " " * BAND


def _spoil(cells: list[str], spoilt: Unreadable | None, row: int, glyphs: Glyphs) -> None:
    """Draw over `cells` what keeps anybody from reading them."""
    count = len(cells)
    match spoilt:
        case Unreadable.BACKGROUND:
            cells[:] = [glyphs.faint if each == " " else each for each in cells]
        case Unreadable.SMEAR:
            # Ragged at both ends, so that it looks like no line.
            for place in range(int(count * SMEARED_FROM) + row % 2, int(count * SMEARED_TO)):
                if (place + row) % 3:
                    cells[place] = glyphs.faint
        case Unreadable.FLOW_STOPPED:
            front = int(count * STOPPED_AT)
            cells[: front + 1] = [*" " * front, FRONT]
        case Unreadable.FLOODED:
            cells[:] = [WAVES] * count
        case Unreadable.DAMAGED:
            cells[max(0, min(count - 1, count // 2 + 2 - row))] = CRACK
        case _:
            pass


def _lower_edge(marks: Sequence[str], centres: Sequence[int], inner: int, glyphs: Glyphs) -> Line:
    cells = glyphs.rule * inner
    for mark, centre in zip(marks, centres, strict=True):
        shown = f" {clean(mark)} "
        begin = max(0, centre - cell_len(shown) // 2)
        cells = cells[:begin] + shown + cells[begin + len(shown) :]
    return line(Piece(f"{glyphs.bottom_left}{cells[:inner]}{glyphs.bottom_right}", Token.PAPER))
