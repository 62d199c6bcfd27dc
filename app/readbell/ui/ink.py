"""A line of the screen as text in pieces, each with a meaning; colour comes later, from a palette.

Whatever a person, a scanner or a file gave may stand in a line, so a line knows
no markup, shows no control sign, and measures text in cells, not in letters.
"""

from __future__ import annotations

import unicodedata
from dataclasses import field
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING

from rich.cells import cell_len, set_cell_size

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

SHOWN_INSTEAD = "?"
"""Stands for a sign that would move the cursor, turn the line round or vanish."""

# Letters by their class, and yet nothing is seen of them.
UNSEEN = frozenset("\u115f\u1160\u2800\u3164\uffa0")


class Token(StrEnum):
    """What a piece of text means; a palette says how that looks."""

    TEXT = "text"
    """To be read."""
    SOFT = "soft"
    """To be known."""
    RAIL = "rail"
    """Tracks and quiet digits."""
    HAIR = "hair"
    """Rules and dots that say nothing."""
    NOW = "now"
    """The now-line."""
    WINDOW = "window"
    """A read window to come; never used for words."""
    EYES = "eyes"
    """READ NOW, in letters."""
    EYES_FILL = "eyes-fill"
    SHORT = "short"
    """Running out: CLOSING, NOT SAVED."""
    SHORT_FILL = "short-fill"
    HANDS = "hands"
    """A hands-on step is due."""
    HANDS_FILL = "hands-fill"
    LOST = "lost"
    """Lapsed, invalid, refused."""
    LOST_FILL = "lost-fill"
    DRILL_FILL = "drill-fill"
    """The bars of a rehearsal."""
    PANEL = "panel"
    """The scan line's own ground."""
    PAPER = "paper"
    """The drawn strip."""
    BAND = "band"
    """A line on the drawn strip."""


@dataclass(frozen=True, slots=True)
class Piece:
    """Some text and what it means."""

    text: str
    token: Token = Token.TEXT
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One row of the screen, or a part of one."""

    pieces: tuple[Piece, ...] = ()
    chosen: bool = False
    """On the ground of the chosen row."""
    cells: int = field(default=-1, compare=False, repr=False)
    """How many cells it takes, where whoever made it knew; below 0 it is to be counted."""

    @property
    def text(self) -> str:
        """The line as plain text: what is left when there is no colour."""
        return "".join(piece.text for piece in self.pieces)

    @property
    def width(self) -> int:
        """How many cells the line takes."""
        if self.cells >= 0:
            return self.cells
        return sum(_cells_of(piece.text) for piece in self.pieces)

    def __add__(self, other: Line) -> Line:
        """Return the two side by side."""
        return Line((*self.pieces, *other.pieces), self.chosen or other.chosen)

    def fitted(self, width: int) -> Line:
        """Return the line in exactly `width` cells: cut, or filled up with blanks."""
        if self.cells == width:
            return self
        return Line(tuple(_fitted(self.pieces, width)), self.chosen, max(0, width))


def clean(text: str) -> str:
    """Return `text` with each sign that is no visible letter replaced: what is shown is what is."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(_visible(sign) for sign in text)


def line(*parts: str | Piece | Line, chosen: bool = False) -> Line:
    """Return a line of `parts`; a bare string is text to be read."""
    pieces: list[Piece] = []
    for part in parts:
        match part:
            case str():
                pieces.append(Piece(clean(part)))
            case Piece():
                pieces.append(Piece(clean(part.text), part.token, part.bold))
            case _:
                pieces.extend(part.pieces)
    return Line(tuple(pieces), chosen)


def at_columns(*placed: tuple[int, Line], width: int) -> Line:
    """Return one line with each part beginning at its column; a part too long is cut by the next."""
    made: list[Piece] = []
    filled, chosen = 0, False
    ends = [*(column for column, _ in placed), width][1:]
    for (column, part), end in zip(placed, ends, strict=True):
        if filled != column:
            made = list(_fitted(made, column))
        room = max(0, end - column)
        made.extend(_fitted(part.pieces, room))
        filled, chosen = column + room, chosen or part.chosen
    return Line(tuple(made if filled == width else _fitted(made, width)), chosen, max(0, width))


def blank(width: int) -> Line:
    """Return `width` empty cells."""
    return Line((Piece(" " * width),))


def _cells_of(text: str) -> int:
    # Asked for every piece of every row each second, and most of them are plain letters.
    return len(text) if text.isascii() else cell_len(text)


def _fitted(pieces: Iterable[Piece], width: int) -> Iterator[Piece]:
    left = width
    for piece in pieces:
        if left <= 0:
            return
        taken = _cells_of(piece.text)
        if taken > left:
            yield Piece(set_cell_size(piece.text, left), piece.token, piece.bold)
            return
        left -= taken
        yield piece
    if left > 0:
        yield Piece(" " * left)


@lru_cache(maxsize=4096)
def _visible(sign: str) -> str:
    if sign == " ":
        return sign
    if unicodedata.category(sign)[0] in "CZ" or sign in UNSEEN or _joins(sign):
        return SHOWN_INSTEAD
    # A sign of no width would hang on its neighbour and be counted with it.
    return sign if cell_len(sign) else SHOWN_INSTEAD


def _joins(sign: str) -> bool:
    """Say whether some terminals draw `sign` as one with its neighbour: flags and skin tones."""
    return "\U0001f1e6" <= sign <= "\U0001f1ff" or "\U0001f3fb" <= sign <= "\U0001f3ff"
