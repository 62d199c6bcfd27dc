"""A report as HTML and as PDF: the same words in the same order, whoever wrote them."""

from __future__ import annotations

import io

import pypdf
import pytest

from readbell.reports.columns_picture import columns_picture
from readbell.reports.letters import Letters
from readbell.reports.quality_paper import Grid, QualityPaper, Saying, quality_html
from readbell.reports.quality_pdf import quality_pdf

WICKED = "<b>&\"L-1'</b>"
PAPER = QualityPaper(
    title=f"Report of {WICKED}",
    subtitle="So much of it.",
    banner="REHEARSAL: practice",
    parts=(
        Saying(title="First", lines=("One sentence.", f"Another about {WICKED}.")),
        Grid(
            title="A table",
            head=("lot", "tests"),
            rows=tuple((f"L-{number}", f"{number}") for number in range(120)),
            note="What it leaves out.",
        ),
        columns_picture("A picture", "above it", [("08", 3), (WICKED, 4)]),
        Saying(title="", lines=("Goes on below the picture.",)),
        Grid(title="Another table", head=("a", "b"), rows=(("x" * 200, "1"),)),
    ),
    foot="At the foot of each page.",
)


def pages_of(paper: QualityPaper) -> list[str]:
    """What stands on each page of its PDF."""
    made = pypdf.PdfReader(io.BytesIO(quality_pdf(paper, Letters())))
    return [each.extract_text() for each in made.pages]


def test_what_somebody_called_a_lot_is_text_and_never_markup() -> None:
    """In the head, in a sentence and in a picture."""
    made = quality_html(PAPER)

    assert "<b>" not in made
    assert made.count("&lt;b&gt;") == 4, "the title of the page and the heading, too"
    assert WICKED in " ".join(pages_of(PAPER)[0].split())


def test_both_say_everything_in_its_order() -> None:
    """A table that goes on over pages says its head again on each."""
    pages = pages_of(PAPER)
    text, html = "\n".join(pages), quality_html(PAPER)
    order = [
        *("So much of it.", "First", "One sentence.", "A table", "What it leaves out."),
        *("A picture", "Goes on below the picture.", "Another table"),
    ]

    for said in (text, html):
        places = [said.index(each) for each in order]
        assert places == sorted(places)
        assert all(f"L-{number}" in said for number in range(120))
    assert len(pages) > 2
    assert "lot" in pages[1]
    assert all("At the foot of each page." in each for each in pages)
    assert all("REHEARSAL: practice" in each for each in pages)
    assert html.count("<h2>") == 3, "what goes on has no title"


def test_without_a_banner_there_is_none() -> None:
    """A live bay practises nothing."""
    plain = QualityPaper(title="T", subtitle="S", banner="", parts=(), foot="F")

    assert 'class="banner"' not in quality_html(plain)
    assert len(pages_of(plain)) == 1


@pytest.mark.parametrize("text", ["Zażółć", "Жук", "数"])
def test_a_letter_from_anywhere_is_written_or_spelt_out_and_never_left_out(text: str) -> None:
    """In a sentence, in a table and in a picture."""
    paper = QualityPaper(
        title="T",
        subtitle=text,
        banner="",
        parts=(
            Grid(title="G", head=("a", "b"), rows=((text, "1"),)),
            columns_picture("P", "above", [(text, 4)]),
        ),
        foot="F",
    )
    (page,) = pages_of(paper)

    letters = Letters()
    assert page.count(letters.spelt_out(text)) == 3
    assert text in quality_html(paper)
