"""Labels on a sheet of paper: what people read, and a code that a scanner reads back."""

from __future__ import annotations

from enum import StrEnum
from io import BytesIO
from typing import TYPE_CHECKING

from readbell.barcodes.drawn import modules_of
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from reportlab.pdfgen.canvas import Canvas

MM = 72 / 25.4
"""Points in a millimetre."""
A4 = (210 * MM, 297 * MM)
MARGIN = 10 * MM
"""Of the page (our own choice: what most printers leave white)."""
INSIDE = 2 * MM
"""Between the edge of a label and what stands on it."""
FONT = "Helvetica-Bold"
LARGEST, SMALLEST = 24.0, 6.0
"""Points of the letters."""
LEAST_MODULE = 0.25 * MM
"""Of a code that a usual scanner still reads (common practice: 10 mil)."""
BLANK = 10
"""Modules of empty ground on either side of a Code 128 (from memory of its standard)."""
BESIDE = 0.5
"""Of a label's width: more its QR code never takes."""


class Code(StrEnum):
    """Which code stands on a label."""

    QR = "qr"
    CODE_128 = "code-128"


@dataclass(frozen=True, slots=True)
class Grid:
    """How many labels a sheet of A4 has."""

    columns: int
    rows: int

    @property
    def width(self) -> float:
        """Of a label, in points."""
        return float(A4[0] - 2 * MARGIN) / self.columns

    @property
    def height(self) -> float:
        """Of a label, in points."""
        return float(A4[1] - 2 * MARGIN) / self.rows


def fits(texts: Sequence[str], grid: Grid, code: Code) -> bool:
    """Say whether every code comes out large enough to be read."""
    return all(_module(text, grid, code) >= LEAST_MODULE for text in texts)


def label_sheets(texts: Sequence[str], grid: Grid, code: Code) -> bytes:
    """Return the PDF: one label for each text, in rows from the top left.

    The same labels give the same bytes. Nothing else stands on them: no name, no
    date, no program.

    Raises:
        ModuleNotFoundError: the extra `paper` is not installed.
    """
    from reportlab.pdfgen.canvas import Canvas

    made = BytesIO()
    canvas = Canvas(made, pagesize=A4, invariant=1)
    canvas.setTitle("Labels")
    a_page = grid.columns * grid.rows
    for place, text in enumerate(texts):
        if place and place % a_page == 0:
            canvas.showPage()
        row, column = divmod(place % a_page, grid.columns)
        left = MARGIN + column * grid.width
        bottom = A4[1] - MARGIN - (row + 1) * grid.height
        if code is Code.QR:
            _with_qr(canvas, text, left, bottom, grid)
        else:
            _with_code_128(canvas, text, left, bottom, grid)
    canvas.save()
    return made.getvalue()


def _with_qr(canvas: Canvas, text: str, left: float, bottom: float, grid: Grid) -> None:
    rows, size = modules_of(text), _module(text, grid, Code.QR)
    side = size * len(rows)
    top = bottom + (grid.height + side) / 2
    for place, row in enumerate(rows):
        for column, dark in enumerate(row):
            if dark:
                x, y = left + INSIDE + column * size, top - (place + 1) * size
                canvas.rect(x, y, size, size, stroke=0, fill=1)
    begin = left + INSIDE + side
    room = left + grid.width - INSIDE - begin
    points = _points(text, room)
    canvas.setFont(FONT, points)
    canvas.drawString(begin, bottom + (grid.height - 0.7 * points) / 2, text)


def _with_code_128(canvas: Canvas, text: str, left: float, bottom: float, grid: Grid) -> None:
    from reportlab.graphics.barcode.code128 import Code128

    points = min(_points(text, grid.width - 2 * INSIDE), grid.height / 3)
    size = _module(text, grid, Code.CODE_128)
    tall = max(1.0, grid.height - 3 * INSIDE - points)
    bars = Code128(text, barWidth=size, barHeight=tall, quiet=True)
    bars.drawOn(canvas, left + (grid.width - bars.width) / 2, bottom + 2 * INSIDE + points)
    canvas.setFont(FONT, points)
    canvas.drawCentredString(left + grid.width / 2, bottom + INSIDE + 0.2 * points, text)


def _module(text: str, grid: Grid, code: Code) -> float:
    """Return how wide the narrowest part of the code can be, in points."""
    if code is Code.QR:
        side = min(grid.height - INSIDE, grid.width * BESIDE)
        return float(side) / len(modules_of(text))
    from reportlab.graphics.barcode.code128 import Code128

    one = float(Code128(text, barWidth=1, quiet=False).width)
    return float(grid.width - 2 * INSIDE) / (one + 2 * BLANK)


def _points(text: str, room: float) -> float:
    """Return the size of letters with which `text` fills at most `room`."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    one = float(stringWidth(text, FONT, 1))
    return max(SMALLEST, min(LARGEST, room / one))
