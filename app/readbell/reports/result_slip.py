"""Result slips as PDF: a page for each person, and nobody's result on another's."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

from readbell.reports.label_sheet import A4, MM
from readbell.reports.letters import breaks_anywhere

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from readbell.phrases.slip_words import Slip, SlipPart
    from readbell.reports.letters import Letters

MARGIN = 18 * MM
WIDE, HIGH = A4[0] - 2 * MARGIN, A4[1] - 2 * MARGIN
FOOT = 24.0
"""Points at the bottom of a page that its last lines stand in."""
SIZE = 10.5
"""Points of what is read, at its full size (our own choice)."""
SCALES = (1.0, 0.92, 0.85, 0.78)
"""What does not fit on a page is written smaller, and no smaller than eight points."""
GAP = 7.0
FIRST_COLUMN = 0.4
"""Of the width: the words in front of what is said to them."""


def texts_of(slip: Slip) -> Iterator[str]:
    """Yield all that stands on a slip."""
    yield from (slip.heading, slip.title, slip.banner, slip.means, slip.foot, slip.page)
    yield from (each for pair in slip.person for each in pair)
    yield from (*slip.cautions, *slip.text)
    for part in slip.parts:
        yield from (part.test, *part.marks, *part.means)
        yield from (each for pair in (*part.outcomes, *part.facts) for each in pair)


def result_slips(
    slips: Sequence[Slip], letters: Letters, drawn: Callable[[int], None] = lambda _: None
) -> bytes:
    """Return the PDF: each person's slip on a page of its own.

    One that does not fit goes on, on a page with the same person's particulars on top. The
    same slips give the same bytes.

    Args:
        slips: at least one.
        letters: what they are written with; it must have every sign of theirs.
        drawn: told how many are drawn, after each.
    """
    from reportlab.pdfgen.canvas import Canvas

    made = io.BytesIO()
    canvas = Canvas(made, pagesize=A4, invariant=1, lang=slips[0].language)
    canvas.setTitle(slips[0].title if len(slips) == 1 else "Result slips")
    for count, slip in enumerate(slips, 1):
        pages = _pages(slip, letters)
        for number, (scale, blocks) in enumerate(pages, 1):
            _draw(canvas, slip, letters, blocks, scale, f"{slip.page} {number}/{len(pages)}")
        drawn(count)
    canvas.save()
    return made.getvalue()


def _pages(slip: Slip, letters: Letters) -> list[tuple[float, list[Any]]]:
    """Return what stands on each page, and how large."""
    for scale in SCALES:
        blocks = [*_head(slip, letters, scale), *_body(slip, letters, scale)]
        if sum(map(_height, blocks)) <= HIGH - FOOT:
            return [(scale, blocks)]
    scale = SCALES[-1]
    head = [*_head(slip, letters, scale)]
    pages: list[list[Any]] = [[]]
    used = used_by_head = sum(map(_height, head))
    for block in _body(slip, letters, scale):
        tall = _height(block)
        if pages[-1] and used + tall > HIGH - FOOT:
            pages.append([])
            used = used_by_head
        pages[-1].append(block)
        used += tall
    # Each page has a head of its own making: what was drawn once is not drawn again.
    return [(scale, [*_head(slip, letters, scale), *each]) for each in pages]


def _draw(
    canvas: Any, slip: Slip, letters: Letters, blocks: Iterable[Any], scale: float, page: str
) -> None:
    top = A4[1] - MARGIN
    for block in blocks:
        tall = _height(block)
        block.drawOn(canvas, MARGIN, top - tall)
        top -= tall
    foot = _paragraph(f"{slip.foot} - {page}", letters, 7.5 * scale / SCALES[0])
    tall = _height(foot)
    foot.drawOn(canvas, MARGIN, MARGIN)
    canvas.setLineWidth(0.4)
    canvas.line(MARGIN, MARGIN + tall + 3, MARGIN + WIDE, MARGIN + tall + 3)
    if slip.banner:
        band = _banner(slip.banner, letters, scale)
        band.wrap(WIDE, HIGH)
        band.drawOn(canvas, MARGIN, MARGIN + tall + 6)
    canvas.showPage()


def _head(slip: Slip, letters: Letters, scale: float) -> Iterator[Any]:
    """Yield who hands it out, and whose it is: it stands on each page."""
    if slip.banner:
        yield _banner(slip.banner, letters, scale)
        yield _gap(scale)
    yield _paragraph(slip.heading, letters, 13 * scale, bold=True)
    yield _gap(scale)
    yield _paragraph(slip.title, letters, 19 * scale, bold=True)
    yield _gap(scale)
    yield _pairs(slip.person, letters, SIZE * 1.1 * scale, bold=True)
    yield _gap(scale)


def _body(slip: Slip, letters: Letters, scale: float) -> Iterator[Any]:
    size = SIZE * scale
    for part in slip.parts:
        yield _outcomes(part, letters, scale)
        yield _pairs(part.facts, letters, size * 0.92)
        yield _gap(scale)
        yield _paragraph(slip.means, letters, size, bold=True)
        for each in part.means:
            yield _paragraph(each, letters, size)
        yield _gap(scale)
    first, *rest = slip.cautions
    yield _paragraph(first, letters, size, bold=True)
    for each in rest:
        yield _paragraph(each, letters, size)
    if slip.text:
        yield _gap(scale)
        for each in slip.text:
            yield _paragraph(each, letters, size)
    if slip.banner:
        # The band at the foot needs room of its own.
        yield _gap(scale)
        yield _gap(scale)
        yield _gap(scale)
        yield _gap(scale)


def _outcomes(part: SlipPart, letters: Letters, scale: float) -> Any:
    """Return the box with what came of a test, large enough to be read at arm's length."""
    from reportlab.lib import colors
    from reportlab.platypus import Table

    title = " - ".join((part.test, *part.marks))
    rows = [[_paragraph(title, letters, SIZE * scale, bold=True), ""]]
    rows += [
        [
            _paragraph(analyte, letters, 12 * scale),
            _paragraph(outcome, letters, 16 * scale, bold=True),
        ]
        for analyte, outcome in part.outcomes
    ]
    first = WIDE * FIRST_COLUMN
    return Table(
        rows,
        colWidths=[first, WIDE - first],
        style=[
            ("SPAN", (0, 0), (-1, 0)),
            ("BOX", (0, 0), (-1, -1), 1.2, colors.black),
            ("LINEBELOW", (0, 0), (-1, 0), 0.4, colors.black),
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
            ("TOPPADDING", (0, 0), (-1, -1), 4 * scale),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 6 * scale),
        ],
    )


def _pairs(
    pairs: Sequence[tuple[str, str]], letters: Letters, size: float, *, bold: bool = False
) -> Any:
    from reportlab.platypus import Table

    rows = [
        [_paragraph(word, letters, size), _paragraph(said, letters, size, bold=bold)]
        for word, said in pairs
    ]
    first = WIDE * FIRST_COLUMN
    return Table(
        rows,
        colWidths=[first, WIDE - first],
        style=[
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (0, -1), 6),
            ("TOPPADDING", (0, 0), (-1, -1), 1),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
        ],
    )


def _banner(text: str, letters: Letters, scale: float) -> Any:
    from reportlab.lib import colors
    from reportlab.platypus import Table

    return Table(
        [[_paragraph(text, letters, 12 * scale, bold=True)]],
        colWidths=[WIDE],
        style=[
            ("BOX", (0, 0), (-1, -1), 1.5, colors.black),
            ("BACKGROUND", (0, 0), (-1, -1), colors.Color(0.88, 0.88, 0.88)),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 6),
        ],
    )


def _gap(scale: float) -> Any:
    from reportlab.platypus import Spacer

    return Spacer(1, GAP * scale)


def _paragraph(text: str, letters: Letters, size: float, *, bold: bool = False) -> Any:
    from reportlab.lib.styles import ParagraphStyle
    from reportlab.platypus import Paragraph

    style = ParagraphStyle(
        "slip",
        fontName="Vera",
        fontSize=size,
        leading=size * 1.3,
        wordWrap="CJK" if breaks_anywhere(text) else None,
        shaping=1,
    )
    return Paragraph(letters.marked_up(text, bold=bold), style)


def _height(block: Any) -> float:
    _, tall = block.wrap(WIDE, HIGH)
    return float(tall)
