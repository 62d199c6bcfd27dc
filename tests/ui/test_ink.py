"""Lines hold whatever was typed or scanned, and stay as wide as they say."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from rich.cells import cell_len

from readbell.ui.ink import Line, Piece, Token, at_columns, blank, clean, line

NASTY = [
    "",
    "世界",
    "é",
    "P-04\x1b[2J14",
    "P-0414\x00",
    "\u200fP-0414\u202e",
    "[/",
    "[@click=app.quit]x",
    "\U0001f468\u200d\U0001f469",
    "\u2764\ufe0f",
    "\U0001f1e9\U0001f1ea",
    "\U0001f44d\U0001f3fd",
    "\u3164\u115f",
    "\ud800",
    "a\tb\nc\rd",
]
TEXTS = st.one_of(st.sampled_from(NASTY), st.text(st.characters(), max_size=30))
PIECES = st.builds(Piece, TEXTS, st.sampled_from(Token), st.booleans())
LINES = st.lists(PIECES, max_size=6).map(lambda pieces: line(*pieces))


@given(made=LINES, width=st.integers(0, 50))
def test_a_fitted_line_has_exactly_the_width_asked_for(made: Line, width: int) -> None:
    """One cell too many and the rows of the board wrap; one too few and old text shows through."""
    fitted = made.fitted(width)

    assert fitted.width == width
    assert cell_len(fitted.text) == width


@given(first=LINES, second=LINES)
def test_widths_add_up(first: Line, second: Line) -> None:
    """No sign joins its neighbour to something of another width."""
    assert cell_len((first + second).text) == first.width + second.width


@given(text=TEXTS)
def test_nothing_unseen_is_left_in_a_clean_text(text: str) -> None:
    """A control sign moves the cursor, a mark of direction turns an ID round."""
    shown = clean(text)

    assert len(shown) == len(text)
    assert all(sign == " " or unicodedata.category(sign)[0] not in "CZ" for sign in shown)
    assert all(cell_len(sign) >= 1 for sign in shown)
    assert clean(shown) == shown


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        pytest.param("[@click=app.quit]x [/ [A12]", "[@click=app.quit]x [/ [A12]", id="brackets"),
        pytest.param("Çelik Ørsted Łoś", "Çelik Ørsted Łoś", id="letters of Europe"),
        pytest.param("世界", "世界", id="wide letters"),
        pytest.param("P\x1b[31m", "P?[31m", id="a colour sequence"),
        pytest.param("P\u202e41", "P?41", id="right to left"),
        pytest.param("P\u00a041", "P?41", id="a blank that is none"),
        pytest.param("e\u0301", "e?", id="a mark without a letter of its own"),
        pytest.param("P\u31644", "P?4", id="a letter that is not seen"),
    ],
)
def test_what_is_shown_is_what_was_given(text: str, shown: str) -> None:
    """Two IDs that differ must look different, and brackets mean nothing here."""
    assert clean(text) == shown


@given(
    parts=st.lists(st.tuples(st.integers(0, 40), LINES), max_size=5),
    width=st.integers(0, 50),
)
@example(parts=[(0, line("世世世世")), (3, line("x"))], width=8)
def test_parts_at_columns_never_overlap(parts: list[tuple[int, Line]], width: int) -> None:
    """A long name must not push the countdown beside it to another place."""
    parts.sort(key=lambda part: part[0])

    made = at_columns(*parts, width=width)

    assert made.width == width
    for (column, part), end in zip(parts, [*(c for c, _ in parts), width][1:], strict=True):
        room = max(0, min(end, width) - column)
        assert cut(made, column, room) == part.fitted(room).text


def cut(made: Line, column: int, width: int) -> str:
    """The text in some cells of a line, which no wide letter may straddle."""
    before = made.fitted(column).text
    return made.fitted(column + width).text.removeprefix(before) if width else ""


def test_a_part_keeps_its_meaning_wherever_it_stands() -> None:
    """Colour follows the piece; the blanks between are plain."""
    made = at_columns((2, line(Piece("C03", Token.EYES, bold=True))), width=8)

    assert [piece for piece in made.pieces if piece.text.strip()] == [
        Piece("C03", Token.EYES, bold=True)
    ]


def test_a_line_of_lines_keeps_their_order() -> None:
    """Rows are put together from parts that were made elsewhere."""
    made = line("now ", line(Piece("C03", Token.EYES)), Piece(" left"), chosen=True)

    assert made.text == "now C03 left"
    assert made.chosen


def test_side_by_side_the_choice_stays() -> None:
    """A row is chosen as a whole, whichever part of it knows."""
    assert (line("a", chosen=True) + line("b")).chosen
    assert blank(3).text == "   "
