"""The picture of a plan: in signs for a terminal, as SVG and PDF for the wall."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pypdf
import resvg_py

from core.plan.batch.test_planner import GLOVED, batch
from readbell.core.plan.batch.planner import plan
from readbell.phrases.of_plans import CAUTION, say_plan
from readbell.reports.drawing import svg, write_pdf
from readbell.reports.plan_chart import FULL, PLAIN, chart
from readbell.reports.plan_picture import picture_of

if TYPE_CHECKING:
    from pathlib import Path

ASKED = batch(GLOVED, 8, 2)
FOUND = plan(ASKED)
WORDS = (*say_plan(ASKED, FOUND, "Respiratory antigen", {}), *CAUTION)


def test_every_line_fits_the_terminal_and_plain_signs_are_plain() -> None:
    """At any width; narrower than the axis needs, it keeps twenty columns."""
    for wide in (20, 80, 120, 200):
        for signs in (FULL, PLAIN):
            lines = list(chart(ASKED, FOUND, wide, signs))
            assert max(map(len, lines[:-4])) <= max(wide, 32)
    assert "".join(chart(ASKED, FOUND, 80, PLAIN)).isascii()


def test_each_operator_has_a_lane_and_each_person_a_row() -> None:
    """With hands first, then a wait, hands again, development, and the reading at the end."""
    lines = list(chart(ASKED, FOUND, 120, PLAIN))
    rows = {line[:12].strip(): line[12:].strip() for line in lines}

    assert {"operator 1", "operator 2", *(f"person {each}" for each in range(1, 9))} <= set(rows)
    for person in range(1, 9):
        row = rows[f"person {person}"]
        assert row[0] == "#"
        assert row[-1] == "o"
        assert [sign for at, sign in enumerate(row) if not at or row[at - 1] != sign] == list(
            "#.=.o"
        )


def test_the_axis_says_the_time() -> None:
    """Clocked from the start of the batch."""
    names, marks, *_ = chart(ASKED, FOUND, 120, PLAIN)

    assert "0:00" in names
    assert "5:00" in names
    assert names.index("5:00") == marks.index("|", names.index("0:00") + 1)


def test_the_svg_can_be_drawn_and_names_everybody() -> None:
    """A browser's renderer takes it; words are text, not outlines."""
    drawing = picture_of(ASKED, FOUND, WORDS)
    text = svg(drawing)

    assert bytes(resvg_py.svg_to_bytes(svg_string=text)).startswith(b"\x89PNG")
    for name in ("operator 2", "person 8", "change of gloves", "own instructions"):
        assert name in text


def test_the_pdf_says_the_same(tmp_path: Path) -> None:
    """One page; a long plan gets a wider one."""
    file = tmp_path / "plan.pdf"
    write_pdf(picture_of(ASKED, FOUND, WORDS), file)
    (page,) = pypdf.PdfReader(file).pages

    assert "operator 2" in page.extract_text()
    long = batch(GLOVED, 60, 1)
    assert picture_of(long, plan(long), WORDS).wide > picture_of(ASKED, FOUND, WORDS).wide
