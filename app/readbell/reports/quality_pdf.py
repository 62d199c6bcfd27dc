"""A report on quality as PDF, on as many pages as it takes."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

from readbell.reports.drawing import FAINT
from readbell.reports.label_sheet import A4, MM
from readbell.reports.quality_paper import Grid, Saying

if TYPE_CHECKING:
    from readbell.reports.drawing import Drawing
    from readbell.reports.letters import Letters
    from readbell.reports.quality_paper import QualityPaper

MARGIN = 18 * MM
WIDE = A4[0] - 2 * MARGIN
FOOT = 30.0
SIZE, LEADING = 9.5, 12.5
GAP = 8.0
SMALL = 8.5
PADDING, BOLDER = 13.0, 1.12
"""What stands between two columns; how much wider a head is than its text in plain letters."""


def quality_pdf(paper: QualityPaper, letters: Letters) -> bytes:
    """Return the PDF; the same paper gives the same bytes.

    Args:
        paper: what it says.
        letters: what it is written with; a sign that none of them has is spelt out.
    """
    from reportlab.platypus import SimpleDocTemplate

    made = io.BytesIO()
    document = SimpleDocTemplate(
        made,
        pagesize=A4,
        leftMargin=MARGIN,
        rightMargin=MARGIN,
        topMargin=MARGIN,
        bottomMargin=MARGIN + FOOT,
        title=paper.title,
        author="",
        invariant=1,
        lang="en",
    )

    def around(page: Any, document: Any) -> None:
        """Say on each page what it is of, and that a rehearsal is none."""
        low = MARGIN + FOOT - LEADING
        lines = letters.in_lines(letters.spelt_out(paper.foot), 7.5, WIDE)
        for place, line in enumerate(lines):
            letters.draw(page, MARGIN, low - place * 9.5, line, 7.5)
        letters.draw(page, A4[0] - MARGIN - 12, low - 28, str(document.page), 7.5)
        if paper.banner:
            letters.draw(page, MARGIN, A4[1] - MARGIN + 10, letters.spelt_out(paper.banner), 9)

    document.build(_story(paper, letters), onFirstPage=around, onLaterPages=around)
    return made.getvalue()


def _story(paper: QualityPaper, letters: Letters) -> list[Any]:
    from reportlab.platypus import KeepTogether, Spacer

    story: list[Any] = [
        _text(paper.title, letters, size=16, bold=True),
        _text(paper.subtitle, letters),
        Spacer(1, GAP),
    ]
    for part in paper.parts:
        match part:
            case Saying():
                lines = [_text(each, letters) for each in part.lines]
                if part.title:
                    title = _text(part.title, letters, size=12, bold=True)
                    lines[:1] = [KeepTogether([title, *lines[:1]])]
                else:  # it goes on with what stands before it, and on the same page
                    lines = [KeepTogether([*story[-2:], *lines])]
                    del story[-2:]
                story += lines
            case Grid():
                title = _text(part.title, letters, size=12, bold=True)
                title.keepWithNext = True
                story += [title, _table(part, letters)]
                if part.note:
                    story.append(_text(part.note, letters, size=SMALL))
            case _:
                story.append(_picture(part, letters))
        story.append(Spacer(1, GAP))
    return story


def _text(
    text: str, letters: Letters, *, size: float = SIZE, bold: bool = False, right: bool = False
) -> Any:
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.platypus import Paragraph

    style = ParagraphStyle(
        "text",
        fontSize=size,
        leading=size * LEADING / SIZE,
        spaceAfter=2,
        alignment=2 if right else 0,
    )
    return Paragraph(letters.marked_up(letters.spelt_out(text), bold=bold), style)


def _table(grid: Grid, letters: Letters) -> Any:
    from reportlab.lib.colors import HexColor
    from reportlab.platypus import Table

    def cells(row: tuple[str, ...], *, bold: bool = False) -> list[Any]:
        return [
            _text(each, letters, size=SMALL, bold=bold, right=place > 0)
            for place, each in enumerate(row)
        ]

    rows = [cells(grid.head, bold=True), *map(cells, grid.rows)]
    table = Table(rows, colWidths=_widths(grid, letters), repeatRows=1)
    table.setStyle(
        [
            ("LINEBELOW", (0, 0), (-1, -1), 0.4, HexColor(FAINT)),
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("TOPPADDING", (0, 0), (-1, -1), 1),
        ]
    )
    return table


def _widths(grid: Grid, letters: Letters) -> list[float]:
    """Give each column what its longest text takes; share out what is left, and take from the widest."""
    wanted = [
        PADDING
        + max(
            letters.width(grid.head[place], SMALL) * BOLDER,
            *(letters.width(row[place], SMALL) for row in grid.rows),
        )
        for place in range(len(grid.head))
    ]
    left = WIDE - sum(wanted)
    if left >= 0:
        return [each + left / len(wanted) for each in wanted]
    room, narrow = WIDE, 0
    for narrow, each in enumerate(sorted(wanted)):
        if each * (len(wanted) - narrow) > room:
            break
        room -= each
    most = room / (len(wanted) - narrow)
    return [min(each, most) for each in wanted]


def _picture(drawing: Drawing, letters: Letters) -> Any:
    """Return the drawing as something that stands on a page."""
    from reportlab.platypus import Flowable

    from readbell.reports.drawing import paint

    scale = WIDE / drawing.wide

    class Picture(Flowable):  # type: ignore[misc]  # reportlab has no types
        def wrap(self, *_room: float) -> tuple[float, float]:
            return WIDE, drawing.high * scale

        def draw(self) -> None:
            self.canv.saveState()
            self.canv.scale(scale, scale)
            paint(self.canv, drawing, letters)
            self.canv.restoreState()

    return Picture()
