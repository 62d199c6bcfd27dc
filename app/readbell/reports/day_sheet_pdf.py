"""A day sheet as PDF pages; it needs the extra `paper`."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from readbell.core.errors import ReadbellError

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

SIZE, LEADING, EDGE, INDENT = 9, 12, 50, 4
"""Points."""
REHEARSAL = "REHEARSAL: practice, of no patient"


class NoPaperError(ReadbellError):
    """What draws PDF is not installed."""

    exit_status = 2

    def __init__(self) -> None:
        super().__init__(
            "a PDF needs the extra paper: pip install 'readbell[paper]', or leave --pdf out"
        )


def day_sheet_pdf(
    lines: Iterable[str], *, title: str, rehearsal: bool, fonts: Sequence[str] = ()
) -> bytes:
    """Return the pages, A4, in one size; what no font has a sign for is written as its number.

    Args:
        lines: the sheet.
        title: what the file calls itself.
        rehearsal: whether each page says that it is of practice.
        fonts: TrueType files of the site, beside the built-in letters.

    Raises:
        NoPaperError: the extra is not installed.
        FontError: one of the fonts cannot be used.
    """
    from readbell.reports.letters import Letters

    try:
        from reportlab.lib.pagesizes import A4
        from reportlab.pdfgen.canvas import Canvas
    except ImportError:
        raise NoPaperError from None
    letters = Letters(fonts)
    width, height = A4
    written = io.BytesIO()
    # The same sheet gives the same bytes: nothing of this computer or this moment is in them.
    canvas = Canvas(written, pagesize=A4, invariant=1)
    canvas.setTitle(title)
    pieces = [
        (indent, each)
        for said in lines
        for indent in ((len(said) - len(said.lstrip())) * INDENT,)
        for each in letters.in_lines(
            letters.spelt_out(said.strip()), SIZE, width - 2 * EDGE - indent
        )
    ]
    per_page = int((height - 2 * EDGE) // LEADING) - 2
    pages = [pieces[at : at + per_page] for at in range(0, len(pieces), per_page)]
    for number, page in enumerate(pages, 1):
        for place, (indent, each) in enumerate(page):
            letters.draw(canvas, EDGE + indent, height - EDGE - place * LEADING, each, SIZE)
        foot = f"{letters.spelt_out(title)}, page {number} of {len(pages)}"
        foot = f"{foot}. {REHEARSAL}" if rehearsal else foot
        letters.draw(canvas, EDGE, EDGE - LEADING, foot, SIZE)
        canvas.showPage()
    canvas.save()
    return written.getvalue()
