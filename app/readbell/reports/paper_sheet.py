"""Lines of text on A4, for work by hand: nothing is drawn that a line of text does not say."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from readbell.reports.label_sheet import A4, MM

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from reportlab.pdfgen.canvas import Canvas

MARGIN = 15 * MM
FONT = "Courier"
POINTS = 10.0
LEADING = 17.0
"""From line to line: room enough to write on (our own choice)."""
COLUMNS = 84
"""Signs of a line that fit between the margins."""


def undrawable(texts: Iterable[str]) -> str | None:
    """Return the first sign that the letters of this PDF do not have, or None."""
    return next((sign for text in texts for sign in text if not _has(sign)), None)


def paper_sheets(title: str, blocks: Sequence[Sequence[str]]) -> bytes:
    """Return the PDF: each block whole on one page where it fits, line below line.

    Raises:
        ModuleNotFoundError: the extra `paper` is not installed.
    """
    from reportlab.pdfgen.canvas import Canvas

    made = BytesIO()
    canvas = Canvas(made, pagesize=A4, invariant=1)
    canvas.setTitle(title)
    canvas.setFont(FONT, POINTS)
    room = int((A4[1] - 2 * MARGIN) / LEADING)
    row = 0
    for block in blocks:
        lines = [part for text in block for part in _folded(text)]
        if row and row + len(lines) + 1 > room:
            row = _turn(canvas)
        for text in lines:
            if row == room:
                row = _turn(canvas)
            canvas.drawString(MARGIN, A4[1] - MARGIN - (row + 1) * LEADING, text)
            row += 1
        row += 1
    canvas.save()
    return made.getvalue()


def _turn(canvas: Canvas) -> int:
    canvas.showPage()
    canvas.setFont(FONT, POINTS)
    return 0


def _folded(text: str) -> list[str]:
    """Return `text` in pieces that fit, broken at blanks where there are any."""
    pieces: list[str] = []
    while len(text) > COLUMNS:
        at = text.rfind("  ", 1, COLUMNS + 1)
        at = at if at > 0 else text.rfind(" ", 1, COLUMNS + 1)
        at = at if at > 0 else COLUMNS
        pieces.append(text[:at].rstrip())
        text = f"    {text[at:].strip()}"
    return [*pieces, text]


def _has(sign: str) -> bool:
    try:
        sign.encode("cp1252")
    except UnicodeEncodeError:
        return False
    return True
