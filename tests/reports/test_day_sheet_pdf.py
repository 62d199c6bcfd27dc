"""A day sheet on paper: every line on some page, at one size, in any script."""

from __future__ import annotations

import io

import pypdf

from readbell.reports.day_sheet_pdf import REHEARSAL, day_sheet_pdf


def pages(lines: list[str], *, rehearsal: bool = False) -> list[str]:
    """What each page says, read by another library."""
    made = day_sheet_pdf(lines, title="Day sheet", rehearsal=rehearsal)
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(made)).pages]


def test_a_long_sheet_goes_on_over_numbered_pages() -> None:
    """No line is lost at a border."""
    found = pages([f"line {number}." for number in range(200)])
    assert len(found) > 2
    assert all(f"page {n} of {len(found)}" in page for n, page in enumerate(found, 1))
    text = "\n".join(found)
    assert all(f"line {number}." in text for number in range(200))


def test_a_long_line_is_broken_and_not_cut() -> None:
    """A list of many cartridges."""
    words = [f"C{number:03d}" for number in range(100)]
    (page,) = pages(["  " + ", ".join(words)])
    assert all(word in page for word in words)


def test_a_letter_without_a_sign_is_written_as_its_number() -> None:
    """Never left out: two names would become one."""
    (page,) = pages(["by 王 and Zoë"])
    assert "by <U+738B> and Zoë" in page


def test_a_font_of_the_site_writes_what_the_built_in_letters_have_not() -> None:
    """What is read from the right stays a number: it would be written backwards."""
    said = ["ឆ្នាំ and שלום"]
    made = day_sheet_pdf(said, title="T", rehearsal=False, fonts=("hb-test.ttf",))
    (page,) = pypdf.PdfReader(io.BytesIO(made)).pages
    assert "<U+1786>" not in page.extract_text()
    assert "<U+05E9>" in page.extract_text()


def test_practice_says_so_on_every_page() -> None:
    """It never passes for work."""
    found = pages(["a line"] * 100, rehearsal=True)
    assert all(REHEARSAL in page for page in found)
    assert REHEARSAL not in pages(["a line"])[0]


def test_the_same_sheet_gives_the_same_bytes() -> None:
    """So that a copy can be told from another sheet."""
    first, again = (day_sheet_pdf(["a line"], title="T", rehearsal=False) for _ in range(2))
    assert first == again
