"""The drawn strip shows what was answered, and can be told without colour."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.ui.glyphs import ASCII, UNICODE, Glyphs
from readbell.ui.ink import Token, clean
from readbell.ui.strip import Shade, small_strip, strip

GLYPHS = st.sampled_from([UNICODE, ASCII])
LINES = st.lists(st.tuples(st.text(max_size=12), st.sampled_from(Shade)), max_size=8)


@given(
    lines=LINES,
    chosen=st.none() | st.integers(-1, 9),
    glyphs=GLYPHS,
    width=st.integers(4, 90),
    rows=st.integers(1, 9),
    well=st.sampled_from(["", "well", "世界"]),
)
def test_all_rows_are_equally_wide(
    lines: list[tuple[str, Shade]],
    chosen: int | None,
    glyphs: Glyphs,
    width: int,
    rows: int,
    well: str,
) -> None:
    """The frame must close, whatever a kit prints beside its lines."""
    drawn = strip(lines, chosen, glyphs, width=width, rows=rows, well=well)

    assert len(drawn) == rows + 4
    assert {row.width for row in drawn} == {max(width, 2 + 2 * len(lines))}
    assert all(clean(row.text) == row.text for row in drawn)


@pytest.mark.parametrize("glyphs", [UNICODE, ASCII], ids=["unicode", "ascii"])
@pytest.mark.parametrize("count", [1, 2, 3, 4])
@pytest.mark.parametrize("width", [20, 62])
def test_no_two_answers_look_alike_without_colour(glyphs: Glyphs, count: int, width: int) -> None:
    """A faint line that looked absent would be saved as a negative."""
    names = ("A", "B", "D", "C")[:count]
    drawn = {
        tuple(
            row.text
            for row in strip(list(zip(names, shades, strict=True)), None, glyphs, width=width)
        )
        for shades in product(Shade, repeat=count)
    }

    assert len(drawn) == len(Shade) ** count


@pytest.mark.parametrize("chosen", [0, 1, 2])
def test_the_mark_points_at_the_line_being_answered_for(chosen: int) -> None:
    """One line to the left or right is another analyte."""
    drawn = strip([(name, Shade.CLEAR) for name in "ABC"], chosen, UNICODE)
    band, mark, names = drawn[1].text, drawn[-2].text, drawn[-1].text

    column = mark.index(UNICODE.chosen)
    assert band[column - 1 : column + 2] == UNICODE.clear * 3
    assert names[column] == "ABC"[chosen]
    assert mark.count(UNICODE.chosen) == 1


@pytest.mark.parametrize("chosen", [None, -1, 3])
def test_with_no_line_in_hand_nothing_is_marked(chosen: int | None) -> None:
    """A mark under nothing would be a question nobody asked."""
    drawn = strip([(name, Shade.OPEN) for name in "ABC"], chosen, UNICODE)

    assert not drawn[-2].text.strip()


def test_lines_stand_in_the_devices_own_order() -> None:
    """The drawing is held beside the cartridge and compared from left to right."""
    lines = [("A", Shade.FAINT), ("B", Shade.ABSENT), ("C", Shade.CLEAR)]
    drawn = strip(lines, None, UNICODE)

    assert drawn[-1].text.split() == ["A", "B", "C"]
    assert drawn[1].text.index(UNICODE.faint) < drawn[1].text.index(UNICODE.clear)


def test_what_nobody_answered_is_asked_once_and_never_drawn_as_a_line() -> None:
    """Nothing is set before somebody sets it."""
    drawn = strip([("T", Shade.OPEN), ("C", Shade.OPEN)], 0, UNICODE)

    assert "".join(row.text for row in drawn).count(UNICODE.open) == 2
    assert not any(piece.token is Token.BAND for row in drawn for piece in row.pieces)


def test_only_lines_that_are_there_have_the_colour_of_lines() -> None:
    """Colour repeats the texture and adds nothing to it."""
    drawn = strip([("T", Shade.ABSENT), ("C", Shade.CLEAR)], 0, UNICODE)
    bands = [piece.text for row in drawn for piece in row.pieces if piece.token is Token.BAND]

    assert bands == [UNICODE.clear * 3] * 7


def test_the_word_for_the_well_stands_aside_where_it_fits() -> None:
    """It says which end is which; on a narrow strip the lines need the room."""
    lines = [("T", Shade.ABSENT), ("C", Shade.CLEAR)]

    assert any("well" in row.text for row in strip(lines, 0, UNICODE, well="well"))
    assert not any("well" in row.text for row in strip(lines, 0, UNICODE, well="well", width=20))


@pytest.mark.parametrize(
    ("shades", "glyphs", "drawn"),
    [
        pytest.param(
            [Shade.CLEAR, Shade.CLEAR],
            UNICODE,
            ["┌────────┐", "│  █   █ │", "│  █   █ │", "└────────┘"],
            id="clear",
        ),
        pytest.param(
            [Shade.FAINT, Shade.ABSENT],
            ASCII,
            ["+--------+", "|  :     |", "|  :     |", "+--------+"],
            id="no control line",
        ),
    ],
)
def test_a_small_strip_is_a_reminder(shades: list[Shade], glyphs: Glyphs, drawn: list[str]) -> None:
    """Four of them beside the form say what each picture would mean."""
    assert [row.text for row in small_strip(shades, glyphs)] == drawn


def test_a_strip_looks_like_this() -> None:
    """Somebody looked at it; a change is to be looked at too."""
    lines = [("T", Shade.FAINT), ("C", Shade.OPEN)]

    assert [row.text for row in strip(lines, 0, UNICODE, width=30, rows=3)] == [
        "┌────────────────────────────┐",
        "│      ░░░                   │",
        "│      ░░░            ?      │",
        "│      ░░░                   │",
        "└────────────────────────────┘",
        "        ▲                     ",
        "        T             C       ",
    ]
