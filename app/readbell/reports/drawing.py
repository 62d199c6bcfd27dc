"""A drawing of lines, boxes and words, written as SVG or as PDF; in points, from the top left."""

from __future__ import annotations

from importlib import import_module
from io import BytesIO
from typing import TYPE_CHECKING, Any, assert_never
from xml.sax.saxutils import escape

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.reports.letters import Letters

INK = "#1b1b1b"
FAINT = "#9a9a9a"
PAPER = "#ffffff"
PICTURES = (".svg", ".pdf", ".png")
"""How the name of a picture may end; all but the first take the extra `paper`."""
PNG_SCALE = 2.0
"""Dots for each point."""


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
    _put(path, svg(drawing).encode())


def write_pdf(drawing: Drawing, path: Path) -> None:
    """Write the drawing as one page of PDF, the same bytes each time.

    Raises:
        ImportError: the extra `paper` is not installed.
        OSError: it cannot be written there.
    """
    _put(path, _page(drawing))


def write_png(drawing: Drawing, path: Path) -> None:
    """Write the drawing as PNG, as its page of PDF looks on a screen.

    Raises:
        ImportError: the extra `paper` is not installed.
        OSError: it cannot be written there.
    """
    from pypdfium2 import PdfDocument

    document = PdfDocument(_page(drawing))
    try:
        picture = document[0].render(scale=PNG_SCALE).to_pil()
    finally:
        document.close()
    made = BytesIO()
    picture.save(made, "PNG")
    _put(path, made.getvalue())


def _put(path: Path, made: bytes) -> None:
    """Write a picture whole or not at all: until then what stood there stays."""
    beside = path.with_name(f".{path.name}.unfinished")
    try:
        beside.write_bytes(made)
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)


def need_png() -> None:
    """See that drawings can be written as PNG here.

    Raises:
        ImportError: the extra `paper` is not installed.
    """
    for each in ("reportlab.pdfgen.canvas", "pypdfium2", "PIL.Image"):
        import_module(each)


def write_picture(drawing: Drawing, path: Path) -> None:
    """Write the drawing as what the ending of `path` asks for, one of `PICTURES`.

    Raises:
        ImportError: it takes the extra `paper`, which is not installed.
        OSError: it cannot be written there.
    """
    {".svg": write_svg, ".pdf": write_pdf, ".png": write_png}[path.suffix.lower()](drawing, path)


def _page(drawing: Drawing) -> bytes:
    from reportlab.pdfgen.canvas import Canvas

    made = BytesIO()
    page = Canvas(made, pagesize=(drawing.wide, drawing.high), invariant=1)
    page.setTitle(drawing.title)
    paint(page, drawing)
    page.showPage()
    page.save()
    return made.getvalue()


def paint(page: Any, drawing: Drawing, letters: Letters | None = None) -> None:
    """Paint the drawing on a canvas of reportlab, its lower left corner at the origin.

    Args:
        page: the canvas.
        drawing: what is painted.
        letters: what words are written with that the page's own font cannot write.
    """
    from reportlab.lib.colors import HexColor

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
                if letters is not None and not is_plain(mark.text):
                    text = letters.spelt_out(mark.text)
                    left = mark.x - (letters.width(text, mark.size) if mark.right else 0.0)
                    letters.draw(page, left, drawing.high - mark.y, text, mark.size)
                    continue
                page.setFont("Helvetica-Bold" if mark.bold else "Helvetica", mark.size)
                put = page.drawRightString if mark.right else page.drawString
                put(mark.x, drawing.high - mark.y, mark.text)
            case _:
                assert_never(mark)


def is_plain(text: str) -> bool:
    """Say whether the fonts that every PDF has can write `text`."""
    try:
        text.encode("cp1252")
    except UnicodeEncodeError:
        return False
    return True
