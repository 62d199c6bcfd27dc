"""A drawing says the same as SVG and as PDF."""

from __future__ import annotations

from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

import pypdf
import pypdfium2

from readbell.reports.drawing import Drawing, Stroke, Words, svg, write_pdf, write_svg

if TYPE_CHECKING:
    from pathlib import Path

DRAWING = Drawing(
    wide=200,
    high=100,
    title="Waits & <windows>",
    marks=(
        Stroke(points=((10, 90), (190, 90)), wide=4),
        Stroke(points=((10, 50), (100, 50)), dashes=(4, 2)),
        Words(x=10, y=20, text="left & <bold>", bold=True),
        Words(x=190, y=20, text="right", right=True),
    ),
)


def test_svg_is_sound_xml_with_every_mark() -> None:
    """Signs that XML reserves are spelt out."""
    root = ET.fromstring(svg(DRAWING))  # noqa: S314  # our own text

    texts = [each.text for each in root.iter() if each.tag.endswith(("title", "text"))]
    lines = [each for each in root.iter() if each.tag.endswith("polyline")]
    assert texts == ["Waits & <windows>", "left & <bold>", "right"]
    assert [each.get("stroke-dasharray") for each in lines] == [None, "4 2"]


def test_files_are_written(tmp_path: Path) -> None:
    """The same words in both; the PDF has its lines where they belong."""
    write_svg(DRAWING, tmp_path / "a.svg")
    write_pdf(DRAWING, tmp_path / "a.pdf")

    assert (tmp_path / "a.svg").read_text("utf-8") == svg(DRAWING)
    (page,) = pypdf.PdfReader(tmp_path / "a.pdf").pages
    assert "left & <bold>" in page.extract_text()
    drawn = pypdfium2.PdfDocument(tmp_path / "a.pdf")[0].render(scale=1).to_pil().convert("L")
    assert drawn.getpixel((100, 90)) < 100 < drawn.getpixel((100, 70))
