"""A drawing of lines, boxes and words, written as SVG or as PDF; in points, from the top left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, assert_never
from xml.sax.saxutils import escape

if TYPE_CHECKING:
    from pathlib import Path

INK = "#1b1b1b"
FAINT = "#9a9a9a"
PAPER = "#ffffff"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """A line through points."""

    points: tuple[tuple[float, float], ...]
    wide: float = 1.0
    colour: str = INK
    dashes: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """A line of text; `x` is its left end, or its right one."""

    x: float
    y: float
    text: str
    size: float = 10.0
    bold: bool = False
    right: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A page, and what stands on it in the order of painting."""

    wide: float
    high: float
    title: str
    """What it shows, for who cannot see it."""
    marks: tuple[Stroke | Words, ...]


def svg(drawing: Drawing) -> str:
    """Return the drawing as an SVG document."""
    lines = [
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {drawing.wide:g} {drawing.high:g}" '
            f'width="{drawing.wide:g}" height="{drawing.high:g}" role="img" '
            'font-family="Helvetica, Arial, DejaVu Sans, sans-serif">'
        ),
        f"<title>{escape(drawing.title)}</title>",
        f'<rect width="{drawing.wide:g}" height="{drawing.high:g}" fill="{PAPER}"/>',
    ]
    for mark in drawing.marks:
        match mark:
            case Stroke():
                points = " ".join(f"{x:.1f},{y:.1f}" for x, y in mark.points)
                dashes = " ".join(f"{each:g}" for each in mark.dashes)
                dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
                lines.append(
                    f'<polyline points="{points}" fill="none" stroke="{mark.colour}" '
                    f'stroke-width="{mark.wide:g}"{dashed}/>'
                )
            case Words():
                anchor = ' text-anchor="end"' if mark.right else ""
                weight = ' font-weight="bold"' if mark.bold else ""
                lines.append(
                    f'<text x="{mark.x:.1f}" y="{mark.y:.1f}" font-size="{mark.size:g}" '
                    f'fill="{INK}"{anchor}{weight}>{escape(mark.text)}</text>'
                )
            case _:
                assert_never(mark)
    return "\n".join([*lines, "</svg>"]) + "\n"


def write_svg(drawing: Drawing, path: Path) -> None:
    """Write the drawing as SVG.

    Raises:
        OSError: it cannot be written there.
    """
    path.write_text(svg(drawing), "utf-8")


def write_pdf(drawing: Drawing, path: Path) -> None:
    """Write the drawing as one page of PDF, the same bytes each time.

    Raises:
        ImportError: the extra `paper` is not installed.
        OSError: it cannot be written there.
    """
    from reportlab.lib.colors import HexColor
    from reportlab.pdfgen.canvas import Canvas

    page = Canvas(str(path), pagesize=(drawing.wide, drawing.high), invariant=1)
    page.setTitle(drawing.title)
    for mark in drawing.marks:
        match mark:
            case Stroke():
                page.setStrokeColor(HexColor(mark.colour))
                page.setLineWidth(mark.wide)
                page.setDash(list(mark.dashes))
                outline = page.beginPath()
                outline.moveTo(mark.points[0][0], drawing.high - mark.points[0][1])
                for x, y in mark.points[1:]:
                    outline.lineTo(x, drawing.high - y)
                page.drawPath(outline, stroke=1, fill=0)
            case Words():
                page.setFillColor(HexColor(INK))
                page.setFont("Helvetica-Bold" if mark.bold else "Helvetica", mark.size)
                put = page.drawRightString if mark.right else page.drawString
                put(mark.x, drawing.high - mark.y, mark.text)
            case _:
                assert_never(mark)
    page.showPage()
    page.save()
