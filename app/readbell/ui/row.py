"""One cartridge as one row: sign, tag, patient, state, figure, and its track on the axis.

The row says everything in letters. Colour repeats it, so that the plain text of
a list is the same in every theme and in none.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from rich.cells import set_cell_size

from readbell.phrases.board_words import EARLY_STANDS, Standing, Where, standing
from readbell.ui.at_rest import at_rest
from readbell.ui.extras import (
    ERASED,
    clock_time,
    extra_text,
    extras,
    lines_of,
    scale_beside,
    several_assays,
)
from readbell.ui.ink import Line, Piece, Token, at_columns, clean, line
from readbell.ui.measures import BRACKETS
from readbell.ui.tags import kept_to, tags
from readbell.ui.track import empty_track, track
from readbell.ui.wrapped import shortened

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.phrases.clock_time import ClockFace
    from readbell.ui.glyphs import Glyphs
    from readbell.ui.measures import Columns
    from readbell.ui.track import Scale

MASK = 4
"""So many dots whatever the name's length, which says something too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """How one state looks once there is colour."""

    sign: Token
    words: Token
    named: Token
    """Tag and patient."""
    bold: bool


_FILLS: dict[Where, tuple[Token, Token]] = {
    Where.CLOSING: (Token.SHORT_FILL, Token.SHORT),
    Where.READ_NOW: (Token.EYES_FILL, Token.EYES),
    Where.OVERDUE: (Token.HANDS_FILL, Token.HANDS),
}
_LETTERS: dict[Where, Token] = {
    Where.LAPSED: Token.LOST,
    Where.WAIT_OVER: Token.HANDS,
    Where.UNSURE: Token.HANDS,
}


def ink_of(where: Where, *, flash: bool = False) -> Ink:
    """Return the look of a state; while it flashes, ink and ground are swapped."""
    if where in _FILLS:
        fill, letters = _FILLS[where]
        return Ink(sign=letters, words=letters if flash else fill, named=Token.TEXT, bold=True)
    if where in _LETTERS:
        letters = _LETTERS[where]
        return Ink(sign=letters, words=letters, named=Token.TEXT, bold=True)
    if where is Where.STEP_DUE:
        return Ink(sign=Token.HANDS, words=Token.HANDS, named=Token.TEXT, bold=False)
    return Ink(sign=Token.SOFT, words=Token.SOFT, named=Token.SOFT, bold=False)


def row(
    cartridge: Cartridge,
    board: Board,
    now: Instant,
    columns: Columns,
    glyphs: Glyphs,
    *,
    face: ClockFace,
    chosen: bool = False,
    masked: bool = False,
    flash: bool = False,
) -> Line:
    """Return the row of `cartridge` in exactly `columns.width` cells."""
    stands = standing(cartridge, now)
    ink = ink_of(stands.where, flash=flash)
    early = bool(cartridge.early_looks) and (chosen or not masked)
    named = Token.TEXT if early or chosen else ink.named
    bold = ink.bold or chosen
    parts = [
        (columns.sign.column, _sign(stands, ink, columns, early=early)),
        (
            columns.tag.column,
            _tag(cartridge, board, columns, Piece("", named, bold), chosen=chosen),
        ),
    ]
    if columns.patient is not None:
        shown = patient_shown(cartridge, board, glyphs, masked=masked)
        said = kept_to(shown, columns.patient.width)
        parts.append((columns.patient.column, line(Piece(said, named))))
    parts.append((columns.state.column - 1, _state(stands, now, columns, ink)))
    after = EARLY_STANDS if early and stands.where is not Where.EARLY_LOOK else ""
    if columns.note is not None:
        said = f"{after} {_note(cartridge, stands, board, face)}".strip()
        parts.append((columns.note.column, line(Piece(_whole(said, columns), Token.SOFT))))
    if columns.axis is not None:
        parts.append((columns.axis.column - 2, line(Piece(after, Token.TEXT, bold=True))))
        placed = extras(columns, board)
        scale = scale_beside(columns.axis, placed)
        parts.append((columns.axis.column, _track(cartridge, now, scale, glyphs)))
        for each in placed:
            said = kept_to(extra_text(each.extra, cartridge, board, stands, face), each.width)
            parts.append((each.column, line(Piece(said, Token.SOFT))))
    return Line(at_columns(*parts, width=columns.width).pieces, chosen)


def empty_row(board: Board, columns: Columns, glyphs: Glyphs) -> Line:
    """Return a row without a cartridge: the now-line alone, which never breaks off."""
    if columns.axis is None:
        return Line().fitted(columns.width)
    scale = scale_beside(columns.axis, extras(columns, board))
    return at_columns((columns.axis.column, empty_track(scale, glyphs)), width=columns.width)


def patient_shown(
    cartridge: Cartridge, board: Board, glyphs: Glyphs, *, masked: bool = False
) -> str:
    """Return the person's ID, what stands for it while it is masked, or that it is erased."""
    known = board.name(cartridge.labelled.subject)
    if known is None:
        return ERASED
    return mask(known, glyphs) if masked else known


def mask(name: str, glyphs: Glyphs) -> str:
    """Return what stands for `name`: no more of it than one letter that says of which sort it is."""
    front, dash, _ = name.partition("-")
    sort = f"{front}-" if dash and len(front) == 1 and front.isalpha() else ""
    return sort + glyphs.masked * MASK


def _sign(stands: Standing, ink: Ink, columns: Columns, *, early: bool) -> Line:
    """Return the sign; an early positive stands in it where it has no column of its own."""
    sign, token = stands.sign, ink.sign
    if early and stands.where is Where.EARLY_LOOK:
        sign, token = EARLY_STANDS, Token.TEXT
    elif early and columns.axis is None and columns.note is None:
        sign = sign[0] + EARLY_STANDS[1]
    return line(Piece(sign, token, bold=ink.bold or early))


def _tag(
    cartridge: Cartridge, board: Board, columns: Columns, look: Piece, *, chosen: bool
) -> Line:
    cells = columns.tag.width - BRACKETS
    listed = tags(at_rest(board).labels, cells)
    shown = listed.get(cartridge.label) or kept_to(cartridge.label, cells)
    return line(Piece(f"[{shown}]" if chosen else f" {shown}", look.token, look.bold))


def _state(stands: Standing, now: Instant, columns: Columns, ink: Ink) -> Line:
    """Return word and figure as one block, so that a fill has no holes."""
    figure = stands.figure(now)
    room = columns.time.end - columns.state.column - len(figure)
    word = set_cell_size(clean(stands.word), max(0, room - 1)) + " "
    if ink.bold:
        return line(Piece(f" {word}{figure} ", ink.words, bold=True))
    return line(Piece(f" {word}", ink.words), Piece(f"{figure} ", Token.TEXT))


def _track(cartridge: Cartridge, now: Instant, scale: Scale, glyphs: Glyphs) -> Line:
    return track(
        cartridge,
        now,
        seconds_a_column=scale.seconds_a_column,
        past=scale.past,
        columns=scale.columns,
        glyphs=glyphs,
    )


def _whole(said: str, columns: Columns) -> str:
    width = 0 if columns.note is None else columns.note.width
    return shortened(clean(said), width) or said


def _note(cartridge: Cartridge, stands: Standing, board: Board, face: ClockFace) -> str:
    """Return what stands instead of the axis: until when, which lines, and what to do next."""
    step = cartridge.next_step
    said = [
        clock_time(stands, face),
        lines_of(cartridge) if several_assays(board) else "",
        "" if step is None else step.title,
    ]
    return "  ".join(each for each in said if each)
