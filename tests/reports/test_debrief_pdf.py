"""A debrief on paper: every line on some page, in a type of one width."""

from __future__ import annotations

import io

import pypdf

from readbell.reports.day_sheet_pdf import REHEARSAL
from readbell.reports.debrief_pdf import LONGEST, debrief_pdf


def pages(lines: list[str]) -> list[str]:
    """What each page says, read by another library."""
    made = debrief_pdf(lines, title="Debrief: a day")
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(made)).pages]


def test_a_long_debrief_goes_on_over_numbered_pages_that_say_what_they_are() -> None:
    """Each leaf may be found by itself."""
    found = pages([f"line {number}." for number in range(200)])

    assert len(found) > 2
    assert all(f"page {n} of {len(found)}" in page for n, page in enumerate(found, 1))
    assert all(REHEARSAL in page for page in found)
    assert all(f"line {number}." in "\n".join(found) for number in range(200))


def test_a_line_that_is_too_long_is_broken_and_not_cut() -> None:
    """A time line of a wide terminal."""
    (page,) = pages(["x" * LONGEST + "END"])

    assert "END" in page


def test_a_letter_without_a_sign_is_written_as_its_number() -> None:
    """A name from anywhere stands there, however it looks."""
    (page,) = pages(["Zoë \u0416"])

    assert "<U+0416>" in page
    assert "Zo" in page


def test_an_empty_debrief_is_a_page() -> None:
    """A file without one is no file."""
    assert len(pages([])) == 1


def test_the_same_debrief_gives_the_same_bytes() -> None:
    """Nothing of this computer or this moment is in it."""
    assert debrief_pdf(["a"], title="t") == debrief_pdf(["a"], title="t")
