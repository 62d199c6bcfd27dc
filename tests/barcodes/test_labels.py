"""Labels: a series of them, and codes that another reader reads back off paper and off a terminal."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

import pypdfium2
import pytest
import zxingcpp
from PIL import Image
from pypdf import PdfReader

from readbell.barcodes.drawn import as_blocks, modules_of
from readbell.barcodes.series import SeriesFault, fault_of_label, series
from readbell.reports.label_sheet import Code, Grid, fits, label_sheets

if TYPE_CHECKING:
    from collections.abc import Sequence

FORTY = tuple(f"C{number}" for number in range(101, 141))


def seen(picture: Image.Image) -> list[tuple[str, str]]:
    """What a scanner's library reads in a picture, and in which kind of code."""
    return sorted((each.text, str(each.format)) for each in zxingcpp.read_barcodes(picture))


def on_paper(pdf: bytes) -> list[Image.Image]:
    """Each page, as paper would show it at 300 dots an inch."""
    return [page.render(scale=300 / 72).to_pil() for page in pypdfium2.PdfDocument(pdf)]


def off_terminal(rows: Sequence[str], *, light_ground: bool) -> Image.Image:
    """What a terminal shows of block signs: a cell is twice as high as wide."""
    size = 6
    halves = {" ": (0, 0), "▀": (1, 0), "▄": (0, 1), "█": (1, 1)}
    ink, ground = (0, 255) if light_ground else (255, 0)
    picture = Image.new("L", (len(rows[0]) * size, len(rows) * 2 * size), ground)
    for y, row in enumerate(rows):
        for x, sign in enumerate(row):
            for half, lit in enumerate(halves[sign]):
                if lit:
                    top = (2 * y + half) * size
                    picture.paste(ink, (x * size, top, (x + 1) * size, top + size))
    return picture


@pytest.mark.parametrize(("code", "kind"), [(Code.QR, "QR Code"), (Code.CODE_128, "Code 128")])
def test_every_label_of_a_sheet_is_read_back_by_another_reader(code: Code, kind: str) -> None:
    """24 on the first page and 16 on the second, drawn by pdfium and read by zxing-cpp."""
    pages = on_paper(label_sheets(FORTY, Grid(3, 8), code))
    found = [text for page in pages for text, _ in seen(page)]
    kinds = {each.replace(" ", "").lower() for page in pages for _, each in seen(page)}
    assert len(pages) == 2
    assert found == list(FORTY)
    assert len(kinds) == 1
    assert kind.replace(" ", "").lower() in kinds.pop()


def test_people_read_the_same_as_scanners() -> None:
    """And nothing else stands on the page."""
    pdf = label_sheets(FORTY[:3], Grid(3, 8), Code.QR)
    (page,) = PdfReader(BytesIO(pdf)).pages
    assert page.extract_text().split() == list(FORTY[:3])
    assert label_sheets(FORTY[:3], Grid(3, 8), Code.QR) == pdf


@pytest.mark.parametrize("light_ground", [False, True])
@pytest.mark.parametrize("text", ["C101", "P-0412", "9434765919"])
def test_a_code_on_a_terminal_is_read_back(text: str, *, light_ground: bool) -> None:
    """Blocks of half a cell, drawn as a terminal shows them, on a dark ground or a light one."""
    rows = as_blocks(text, light_ground=light_ground)
    picture = off_terminal(rows, light_ground=light_ground)
    assert [each for each, _ in seen(picture)] == [text]


@pytest.mark.parametrize("light_ground", [False, True])
def test_plain_signs_draw_the_same_modules(*, light_ground: bool) -> None:
    """For a terminal without UTF-8."""
    rows = as_blocks("C101", light_ground=light_ground, plain=True)
    dark = "##" if light_ground else "  "
    drawn = tuple(
        tuple(row[place : place + 2] == dark for place in range(0, len(row), 2)) for row in rows
    )
    assert drawn == modules_of("C101")


@pytest.mark.parametrize(
    ("first", "count", "made"),
    [
        ("C101", 3, ("C101", "C102", "C103")),
        ("C101", 40, FORTY),
        ("C09", 2, ("C09", "C10")),
        ("C99", 2, ("C99", "C100")),
        ("A7-001", 1, ("A7-001",)),
        ("7", 2, ("7", "8")),
    ],
)
def test_a_series_counts_the_last_number_up(first: str, count: int, made: tuple[str, ...]) -> None:
    """Its width is kept, so that labels stay of one form."""
    assert series(first, count) == made


@pytest.mark.parametrize(
    ("first", "count", "why"),
    [
        ("C101", 0, "ask for 1 to 1000"),
        ("C101", 1001, "ask for 1 to 1000"),
        ("C", 1, "ends with no number"),
        ("C٣", 1, "ends with no number"),
        ("é1", 1, "not every scanner reads"),
        ("C" * 24 + "1", 1, "longer than 24"),
    ],
)
def test_what_is_no_series_says_what_to_do(first: str, count: int, why: str) -> None:
    """One sentence."""
    found = series(first, count)
    assert isinstance(found, SeriesFault)
    assert why in found.why


@pytest.mark.parametrize("text", ["", " C1", "C\n1"])
def test_a_sticker_carries_only_what_can_be_seen(text: str) -> None:
    """Two that look alike must be alike."""
    assert fault_of_label(text) is not None


def test_a_code_too_small_to_be_read_is_not_printed() -> None:
    """A sheet of labels that no scanner reads is worse than none."""
    assert fits(FORTY, Grid(3, 8), Code.QR)
    assert not fits(FORTY, Grid(20, 20), Code.QR)
    assert not fits(("C" * 24,), Grid(5, 8), Code.CODE_128)
