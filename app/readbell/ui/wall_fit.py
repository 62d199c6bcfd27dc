"""How large a wall is drawn, and how many cartridges of a bay it shows at once.

A wall is read from three metres. By a rule of thumb (common practice) a letter is read from
two hundred times its height, so there from 15 mm, which is a twentieth of a screen 30 cm high.
No program knows how high its screen is: what has to be read is never lower than one of
`MOST_LETTERS` parts of it, and is as large as all that runs has room for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.ui.large_digits import SIZES, can_draw, large_width

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.ui.glyphs import Glyphs

MOST_LETTERS = 24
"""The lowest letter that has to be read is this part of the screen's height."""
LOW_SCREEN = 30
"""Up to so many rows a letter of one row will do for words."""
GUTTER = 3
"""Blank columns between two columns of cartridges."""
GAP = 2
LARGE_HEAD_HEIGHT = 16
"""Rows of a band from which on its head is large too."""
LARGE_HEAD_WIDTH = 100
LONGEST_LARGE = 9
"""Letters of a word or a place that is drawn large; a longer one would take the room of others."""
LEAST_IN_SIGHT = 4
"""Fewer large cartridges than this, where there are more, and they are drawn smaller."""
SIGN, FIGURE = ">>", "+00:00"


@dataclass(frozen=True, slots=True, kw_only=True)
class Texts:
    """The widest of each kind of text that all cartridges of a wall show."""

    labels: tuple[str, ...]
    places: tuple[str, ...]
    words: tuple[str, ...]
    figures: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """One way to draw a wall."""

    face: int
    """Rows of the large letters."""
    words_are_large: bool
    columns: int
    """Of cartridges, beside one another."""
    rows: int
    """Of cartridges, one under the other."""
    width: int
    """Cells of one column of cartridges."""
    sign: int
    label: int
    place: int
    word: int
    figure: int

    @property
    def most(self) -> int:
        """How many cartridges of a band are in sight at once."""
        return self.columns * self.rows

    @property
    def pitch(self) -> int:
        """Rows from one cartridge to the next."""
        return self.face + (1 if self.face > 1 else 0)


def fit(texts: Texts, most: int, width: int, height: int, screen: int, glyphs: Glyphs) -> Fit:
    """Return how a band is drawn.

    Args:
        texts: what has to be drawn.
        most: how many cartridges the fullest band has.
        width: cells of a band.
        height: rows of a band that cartridges may have.
        screen: rows of the whole screen, by which a letter is high enough.
        glyphs: the marks.
    """
    faces = [face for face in reversed(SIZES) if face * MOST_LETTERS >= screen or face == SIZES[-1]]
    tried = [
        _tried(texts, face, width, height, glyphs, words_are_large=is_large)
        for face in faces
        for is_large in ((True, False) if face > 1 else (False,))
    ]
    whole = [each for each in tried if each is not None]
    readable = [each for each in whole if each.words_are_large]
    if screen <= LOW_SCREEN or not readable:
        readable = [each for each in whole if each.face > 1] or whole
    if max((each.most for each in readable), default=0) < min(most, LEAST_IN_SIGHT):
        # A line each, where a line is high enough: with one or two in sight nobody sees a bay.
        readable = whole
    if not readable:
        return _narrow(width, height)
    fitting = (each for each in readable if each.most >= most)
    return next(fitting, None) or max(readable, key=lambda each: each.most)


def _tried(
    texts: Texts, face: int, width: int, height: int, glyphs: Glyphs, *, words_are_large: bool
) -> Fit | None:
    """Return how it is drawn with letters of that size; None if there is no room for it."""
    pitch = face + (1 if face > 1 else 0)
    rows = (height + pitch - face) // pitch
    sign = large_width(SIGN, face, glyphs)
    label = _widest(texts.labels, face, glyphs)
    figure = max(_widest(texts.figures, face, glyphs), large_width(FIGURE, face, glyphs))
    words_face = face if words_are_large else 1
    word = _widest(texts.words, words_face, glyphs) + GAP
    place = _widest(texts.places, face, glyphs)
    taken = sign + 1 + label + GAP + word + GAP + figure
    if not words_are_large:
        # The place stands under the word, or behind it where each has one line alone.
        small = _widest(texts.places, 1, glyphs) + GAP
        word = word + small if face == 1 else max(word, small)
        taken, place = sign + 1 + label + GAP + word + GAP + figure, 0
    elif place:
        if taken + place + GAP > width:
            place = _widest(texts.places, 1, glyphs)
        taken += place + GAP
    columns = (width + GUTTER) // (taken + GUTTER)
    if rows < 1 or columns < 1:
        return None
    return Fit(
        face=face,
        words_are_large=words_are_large,
        columns=columns,
        rows=rows,
        width=(width - GUTTER * (columns - 1)) // columns,
        sign=sign,
        label=label,
        place=place,
        word=word,
        figure=figure,
    )


def _narrow(width: int, height: int) -> Fit:
    """Return how it is drawn where nothing large has room: a line each."""
    figure = min(8, width // 3)
    label = min(5, max(1, (width - figure - 4) // 3))
    return Fit(
        face=1,
        words_are_large=False,
        columns=1,
        rows=max(1, height),
        width=width,
        sign=2,
        label=label,
        place=0,
        word=max(0, width - figure - label - 2 - 1 - 2 * GAP),
        figure=figure,
    )


def is_drawn_large(text: str) -> bool:
    """Say whether `text` is drawn in large letters at all."""
    return len(text) <= LONGEST_LARGE and can_draw(text)


def _widest(texts: Sequence[str], face: int, glyphs: Glyphs) -> int:
    return max((width_of(each, face, glyphs) for each in texts), default=0)


def width_of(text: str, face: int, glyphs: Glyphs) -> int:
    """Return how many cells `text` takes in letters of that size, or small where it has to be."""
    return large_width(text, face if is_drawn_large(text) else 1, glyphs)
