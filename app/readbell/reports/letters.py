"""The letters that PDFs are written with: the built-in ones, and those of files that a site names.

The fonts that come with reportlab know Latin letters alone. For a name in another script a
site names TrueType files, and each sign is written with the first that has it; uharfbuzz
joins and places the signs of scripts that need it. A name that is read from the right is
set whole; a longer text, or one mixed with numbers, cannot be. That, and what no font has, is
refused by whoever writes: a name of boxes, or backwards, is nobody's name.
"""

from __future__ import annotations

import unicodedata
from hashlib import sha256
from itertools import groupby
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape

from readbell.core.errors import ReadbellError
from readbell.reports.day_sheet_pdf import NoPaperError

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

PLAIN, BOLD = "Vera", "VeraBd"
UNBROKEN = "\u00a0"
LONGEST_LEFTWARD = 60
"""Signs of a text that is read from the right: what is longer may not fit on one line."""
_LEFTWARD = frozenset({"R", "AL"})
_GOES_ALONG = _LEFTWARD | {"NSM", "WS", "CS", "ON", "ES"}
"""Kinds of signs, as Unicode has them, that a text read from the right may have in it."""


class FontError(ReadbellError):
    """A file of letters cannot be used."""

    exit_status = 2


class Letters:
    """Fonts, in the order in which they are tried for each sign."""

    def __init__(self, files: Sequence[str] = ()) -> None:
        """Load the built-in letters, and those of `files`.

        Args:
            files: TrueType files, or collections of them, of which the first font is taken.

        Raises:
            NoPaperError: the extra `paper` is not installed.
            FontError: a file is missing, or is no TrueType font.
        """
        try:
            from reportlab.pdfbase import pdfmetrics
            from reportlab.pdfbase.ttfonts import TTFError, TTFont
        except ImportError:
            raise NoPaperError from None
        plain, bold = TTFont(PLAIN, "Vera.ttf"), TTFont(BOLD, "VeraBd.ttf")
        self._fonts: list[Any] = [plain]
        self._bold: dict[str, str] = {PLAIN: BOLD}
        pdfmetrics.registerFont(plain)
        pdfmetrics.registerFont(bold)
        for file in files:
            # Under one name reportlab knows one font for as long as the program runs.
            name = f"Site-{sha256(file.encode()).hexdigest()}"
            try:
                font = TTFont(name, file)
            except (TTFError, OSError) as error:
                msg = f"{file}: no TrueType font can be read there: name a .ttf file in fonts"
                raise FontError(msg) from error
            pdfmetrics.registerFont(font)
            self._fonts.append(font)

    def missing(self, texts: Iterable[str]) -> str | None:
        """Return the first sign that no font has, or None."""
        return next((sign for text in texts for sign in text if self._font_of(sign) is None), None)

    def unsettable(self, texts: Iterable[str]) -> str | None:
        """Return the first letter that is read from the right and stands where that cannot be set.

        Such a text is one line in one font, and nothing in it is read from the left.
        """
        return next((found for text in texts if (found := self._unsettable(text))), None)

    def marked_up(self, text: str, *, bold: bool = False) -> str:
        """Return `text` for a paragraph, each stretch of it in the font that has its signs."""
        if _first_leftward(text) is not None:
            # One stretch in its own order: whatever shapes it turns it round as a whole.
            whole = text.replace(" ", UNBROKEN)
            return f'<font name="{self._font_of_all(whole) or PLAIN}">{escape(whole)}</font>'
        return "".join(
            f'<font name="{self._bold.get(name, name) if bold else name}">{escape(part)}</font>'
            for name, part in self._parts(text)
        )

    def spelt_out(self, text: str) -> str:
        """Return `text` with each sign that cannot be set here as its number, and none left out."""
        return "".join(
            sign
            if self._font_of(sign) is not None and _first_leftward(sign) is None
            else f"<U+{ord(sign):04X}>"
            for sign in text
        )

    def in_lines(self, text: str, size: float, room: float) -> list[str]:
        """Return `text` in lines that fit into `room`, both in points; a long word stays whole."""
        first, *words = text.split(" ")
        lines = [first]
        for word in words:
            longer = f"{lines[-1]} {word}"
            if self.width(longer, size) <= room:
                lines[-1] = longer
            else:
                lines.append(word)
        return lines

    def draw(self, canvas: Any, x: float, y: float, text: str, size: float) -> None:
        """Write `text` from `x` on, each stretch of it in the font that has its signs."""
        for name, part in self._parts(text):
            canvas.setFont(name, size)
            canvas.drawString(x, y, part, shaping=True)
            x += self.width(part, size)

    def width(self, text: str, size: float) -> float:
        """Return how wide `text` is, in points."""
        from reportlab.pdfbase.pdfmetrics import stringWidth

        return sum(float(stringWidth(part, name, size)) for name, part in self._parts(text))

    def _parts(self, text: str) -> Iterator[tuple[str, str]]:
        """Yield stretches of one font; signs that several have go on in the font before them."""
        names: list[str] = []
        for sign in text:
            before = names[-1] if names else PLAIN
            names.append(before if self._has(before, sign) else self._font_of(sign) or PLAIN)
        for name, group in groupby(zip(names, text, strict=True), key=lambda each: each[0]):
            yield name, "".join(sign for _, sign in group)

    def _unsettable(self, text: str) -> str | None:
        first = _first_leftward(text)
        if first is None:
            return None
        kinds = {unicodedata.bidirectional(sign) for sign in text}
        fits = kinds <= _GOES_ALONG and len(text) <= LONGEST_LEFTWARD
        one_font = self._font_of_all(text.replace(" ", UNBROKEN))
        return None if fits and one_font is not None and self._fonts[0].shapable else first

    def _font_of_all(self, text: str) -> str | None:
        name: str | None = next(
            (
                each.fontName
                for each in self._fonts
                if all(ord(sign) in each.face.charToGlyph for sign in text)
            ),
            None,
        )
        return name

    def _font_of(self, sign: str) -> str | None:
        found = (each.fontName for each in self._fonts if ord(sign) in each.face.charToGlyph)
        name: str | None = next(found, None)
        return name

    def _has(self, name: str, sign: str) -> bool:
        font = next(each for each in self._fonts if each.fontName == name)
        return ord(sign) in font.face.charToGlyph


def _first_leftward(text: str) -> str | None:
    """Return the first letter of a script that is read from right to left, or None."""
    return next((sign for sign in text if unicodedata.bidirectional(sign) in _LEFTWARD), None)


def breaks_anywhere(text: str) -> bool:
    """Say whether lines of `text` break between any two signs, as where no blanks are written."""
    return any(unicodedata.east_asian_width(sign) in "WF" for sign in text)
