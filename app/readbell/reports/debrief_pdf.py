"""A debrief as PDF pages, its time line and its tables in a type of one width; needs the extra `paper`."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from readbell.reports.day_sheet_pdf import REHEARSAL, NoPaperError
from readbell.reports.drawing import is_plain

if TYPE_CHECKING:
    from collections.abc import Iterable

SIZE, LEADING, EDGE = 8.5, 10.5, 50
"""Points."""
FONT = "Courier"
LONGEST = 97
"""Signs that fit in a line."""


def debrief_pdf(lines: Iterable[str], *, title: str) -> bytes:
    """Return the pages, A4; the same lines give the same bytes.

    Args:
        lines: the debrief; what the type has no sign for is written as its number.
        title: what the file calls itself.

    Raises:
        NoPaperError: the extra is not installed.
    """
    try:
        from reportlab.lib.pagesizes import A4
        from reportlab.pdfgen.canvas import Canvas
    except ImportError:
        raise NoPaperError from None
    _, height = A4
    written = io.BytesIO()
    canvas = Canvas(written, pagesize=A4, invariant=1)
    canvas.setTitle(title)
    pieces = [piece for said in lines for piece in _pieces(_writable(said))]
    per_page = int((height - 2 * EDGE) // LEADING) - 2
    pages = [pieces[at : at + per_page] for at in range(0, len(pieces), per_page)] or [[]]
    for number, page in enumerate(pages, 1):
        canvas.setFont(FONT, SIZE)
        for place, each in enumerate(page):
            canvas.drawString(EDGE, height - EDGE - place * LEADING, each)
        foot = f"{_writable(title)[:40]}, page {number} of {len(pages)}. {REHEARSAL}"
        canvas.drawString(EDGE, EDGE - LEADING, foot)
        canvas.showPage()
    canvas.save()
    return written.getvalue()


def _pieces(said: str) -> list[str]:
    return [said[at : at + LONGEST] for at in range(0, len(said), LONGEST)] or [""]


def _writable(said: str) -> str:
    return "".join(
        each if is_plain(each) and each.isprintable() else f"<U+{ord(each):04X}>" for each in said
    )
