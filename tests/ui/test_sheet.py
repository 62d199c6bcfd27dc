"""The one widget: what is shown is what was given, and only what changed is sent."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.console import Console
from rich.style import Style
from textual.geometry import Size

from readbell.ui.ink import Line, Piece, Token, clean
from readbell.ui.sheet import Cell, Sheet, _cells, _strip, spans

if TYPE_CHECKING:
    from collections.abc import Callable

PLAIN = Style()


def cells(text: str, width: int = 20) -> tuple[Cell, ...]:
    """Return a row that shows `text`."""
    return _cells(Line((Piece(text),)), width, lambda _, __: PLAIN)


def text_of(row: tuple[Cell, ...]) -> str:
    """Return what can be read in a row."""
    return "".join(sign for sign, _ in row)


@pytest.mark.parametrize(
    "text", ["[/", "[/]", "LOT [A12]", "[@click=app.quit]x", "[bold red]", "\\[b]", "{x}", ":bell:"]
)
def test_text_is_shown_as_it_is(text: str) -> None:
    """The library read these as markup: it died, or the lot number was gone."""
    assert text_of(cells(text)).rstrip() == text


@given(st.text(max_size=30), st.integers(1, 40))
def test_a_row_fills_its_width_whatever_stands_in_it(text: str, width: int) -> None:
    """ESC, NUL, tabs, wide and turning signs: none moves the cursor or the row's end."""
    row = cells(text, width)
    assert len(row) == width
    assert text_of(row).isprintable()


@pytest.mark.parametrize(
    ("was", "now", "changed"),
    [
        ("opens in 5:30", "opens in 5:29", [(11, 13)]),
        ("same", "same", []),
        ("a        b", "c        d", [(0, 1), (9, 10)]),
        ("a    b", "c    d", [(0, 6)]),
        ("ab", "", [(0, 2)]),
    ],
)
def test_only_the_changed_cells_are_sent(
    was: str, now: str, changed: list[tuple[int, int]]
) -> None:
    """A countdown is a few cells, and a slow line must carry forty of them each second."""
    assert list(spans(cells(was), cells(now))) == changed


@given(st.text(alphabet="ab界語 ", max_size=20), st.text(alphabet="ab界語 ", max_size=20))
def test_the_changes_make_the_new_row_of_the_old_one(was: str, now: str) -> None:
    """And no wide sign is ever cut in two, in either of them."""
    old, new = cells(was), cells(now)
    made = list(old)
    for start, end in spans(old, new):
        for row in (old, new):
            assert row[start][0] != ""
            assert end == len(row) or row[end][0] != ""
        made[start:end] = new[start:end]
    assert tuple(made) == new


PIECES = st.builds(
    Piece,
    st.text(alphabet="ab界\x1b\u0301 ", min_size=1, max_size=4),
    st.sampled_from([Token.TEXT, Token.EYES]),
    st.booleans(),
)
LINES = st.builds(Line, st.lists(PIECES, max_size=6).map(tuple), st.booleans())


@settings(max_examples=400, deadline=None)
@given(old=LINES, new=LINES, kept=st.integers(0, 3), end=st.integers(0, 3), wide=st.integers(1, 24))
def test_what_is_sent_is_what_a_look_at_each_cell_would_send(
    old: Line, new: Line, kept: int, end: int, wide: int
) -> None:
    """Pieces that stayed are passed over, and no cell is missed or sent in vain for it."""
    new = Line((*old.pieces[:kept], *new.pieces, *old.pieces[len(old.pieces) - end :]), new.chosen)
    sheet = SmallSheet(wide)
    sheet.show((old,), CONSOLE)
    was, now = _cells(old, wide, look_of), _cells(new, wide, look_of)
    expected = "".join(
        f"\x1b[1;{start + 1}H{_strip(now[start:stop]).render(CONSOLE)}"
        for start, stop in spans(was, now)
    )

    assert sheet.show((new,), CONSOLE) == expected


@given(line=LINES, wide=st.integers(1, 24))
def test_where_the_picture_is_torn_all_of_it_is_sent(line: Line, wide: int) -> None:
    """Nothing of what stands there is known any more, though the lines are the same."""
    sheet = SmallSheet(wide)
    sheet.show((line,), CONSOLE)
    whole = _strip(_cells(line, wide, look_of)).render(CONSOLE)

    assert sheet.show((line,), CONSOLE) == ""
    assert sheet.show((line,), CONSOLE, torn=range(1)) == f"\x1b[1;1H{whole}"


CONSOLE = Console(color_system="truecolor", force_terminal=True)


class SmallSheet(Sheet):
    """A sheet of one row that stands on no screen."""

    def __init__(self, width: int) -> None:
        super().__init__(look_of, lambda: None)
        self._given = Size(width, 1)

    @property
    def size(self) -> Size:
        """Return what it was given."""
        return self._given


def look_of(piece: Piece, chosen: bool) -> Style:
    """How a piece looks here."""
    colour = "red" if piece.token is Token.EYES else "white"
    return Style(color=colour, bold=piece.bold, reverse=chosen)


def test_a_change_of_looks_alone_is_a_change() -> None:
    """READ NOW swaps ink and ground, and no letter of it."""
    bold: Callable[[Piece, bool], Style] = lambda _, __: Style(bold=True)  # noqa: E731
    assert list(spans(cells("x", 3), _cells(Line((Piece("x"),)), 3, bold))) == [(0, 3)]


def test_what_a_painter_forgot_to_clean_is_cleaned() -> None:
    """The last place before the terminal trusts nobody."""
    assert text_of(cells("a\x1b[2Jb", 8)) == clean("a\x1b[2Jb").ljust(8)
