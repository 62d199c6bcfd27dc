"""A day sheet as PDF pages; it needs the extra `paper`."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from readbell.core.errors import ReadbellError

if TYPE_CHECKING:
    from collections.abc import Iterable

    from reportlab.pdfbase.ttfonts import TTFont

SIZE, LEADING, EDGE, INDENT = 9, 12, 50, 4
"""Points."""
FONT = "Vera"
REHEARSAL = "REHEARSAL: practice, of no patient"


class NoPaperError(ReadbellError):
    """What draws PDF is not installed."""

    exit_status = 2

    def __init__(self) -> None:
        super().__init__(
            "a PDF needs the extra paper: pip install 'readbell[paper]', or leave --pdf out"
        )


def day_sheet_pdf(lines: Iterable[str], *, title: str, rehearsal: bool) -> bytes:
    """Return the pages, A4, in one type; what it has no sign for is written as its number.

    Args:
        lines: the sheet.
        title: what the file calls itself.
        rehearsal: whether each page says that it is of practice.

    Raises:
        NoPaperError: the extra is not installed.
    """
    try:
        from reportlab.lib.pagesizes import A4
        from reportlab.lib.utils import simpleSplit
        from reportlab.pdfbase import pdfmetrics
        from reportlab.pdfbase.ttfonts import TTFont
        from reportlab.pdfgen.canvas import Canvas
    except ImportError:
        raise NoPaperError from None
    font = TTFont(FONT, "Vera.ttf")
    pdfmetrics.registerFont(font)
    width, height = A4
    written = io.BytesIO()
    # The same sheet gives the same bytes: nothing of this computer or this moment is in them.
    canvas = Canvas(written, pagesize=A4, invariant=1)
    canvas.setTitle(title)
    pieces = [
        (indent, each)
        for said in lines
        for indent in ((len(said) - len(said.lstrip())) * INDENT,)
        for each in simpleSplit(
            _writable(said.strip(), font), FONT, SIZE, width - 2 * EDGE - indent
        )
        or [""]
    ]
    per_page = int((height - 2 * EDGE) // LEADING) - 2
    pages = [pieces[at : at + per_page] for at in range(0, len(pieces), per_page)]
    for number, page in enumerate(pages, 1):
        canvas.setFont(FONT, SIZE)
        for place, (indent, each) in enumerate(page):
            canvas.drawString(EDGE + indent, height - EDGE - place * LEADING, each)
        foot = f"{title}, page {number} of {len(pages)}"
        canvas.drawString(EDGE, EDGE - LEADING, f"{foot}. {REHEARSAL}" if rehearsal else foot)
        canvas.showPage()
    canvas.save()
    return written.getvalue()


def _writable(said: str, font: TTFont) -> str:
    known = font.face.charToGlyph
    return "".join(each if ord(each) in known else f"<U+{ord(each):04X}>" for each in said)
