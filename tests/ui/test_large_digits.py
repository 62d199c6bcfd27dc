"""Tags and times can be read from across the room, and no letter taken for another."""

from __future__ import annotations

import string
from itertools import combinations, product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from readbell.ui.glyphs import ASCII, UNICODE, Glyphs
from readbell.ui.large_digits import SIZES, can_draw, large, large_width

DRAWN = string.digits + string.ascii_uppercase + ":+-!> "
FACES = [
    pytest.param(glyphs, rows, id=f"{name}, {rows} rows")
    for (name, glyphs), rows in product((("unicode", UNICODE), ("ascii", ASCII)), (3, 5, 7))
]


def dots(letter: str, rows: int, glyphs: Glyphs) -> set[tuple[int, int]]:
    """Where a letter has ink, in half cells, wherever on the line it stands."""
    ink = {
        (2 * y + half, x)
        for y, row in enumerate(large(letter, rows, glyphs))
        for x, mark in enumerate(row)
        for half in (0, 1)
        if mark not in (" ", (glyphs.lower_half, glyphs.upper_half)[half])
    }
    left = min((x for _, x in ink), default=0)
    return {(y, x - left) for y, x in ink}


@pytest.mark.parametrize(("glyphs", "rows"), FACES)
def test_every_letter_that_a_tag_or_a_time_needs_is_there(glyphs: Glyphs, rows: int) -> None:
    """The board must not fall back to small words in the middle of a shift."""
    assert all(can_draw(letter) for letter in DRAWN)
    assert all(large(letter, rows, glyphs) != (letter,) * rows for letter in DRAWN)


@pytest.mark.parametrize(("glyphs", "rows"), FACES)
def test_no_two_letters_look_the_same(glyphs: Glyphs, rows: int) -> None:
    """0 and O, 5 and S, 8 and B: a tag misread is a wrong cartridge."""
    forms = {letter: large(letter, rows, glyphs) for letter in DRAWN}

    assert len(set(forms.values())) == len(DRAWN)


@pytest.mark.parametrize(
    ("letters", "rows", "least"),
    [
        pytest.param(DRAWN.strip(), 3, 2, id="letters of three rows"),
        pytest.param(string.digits, 3, 3, id="digits of three rows"),
        pytest.param(DRAWN.strip(), 5, 6, id="letters of five rows"),
        pytest.param(string.digits, 5, 6, id="digits of five rows"),
        pytest.param(DRAWN.strip(), 7, 6, id="letters of seven rows"),
        pytest.param(string.digits, 7, 8, id="digits of seven rows"),
    ],
)
def test_two_letters_differ_by_more_than_a_speck(letters: str, rows: int, least: int) -> None:
    """What differs in one corner only is one letter at three metres; counted in half cells."""
    close = [
        (one, other)
        for one, other in combinations(letters, 2)
        if len(dots(one, rows, UNICODE) ^ dots(other, rows, UNICODE)) < least
    ]

    assert not close


@pytest.mark.parametrize(("glyphs", "rows"), FACES)
def test_all_digits_are_equally_wide(glyphs: Glyphs, rows: int) -> None:
    """A countdown would dance about its colon otherwise."""
    assert len({large_width(digit, rows, glyphs) for digit in string.digits}) == 1


@given(
    text=st.one_of(st.text(DRAWN, max_size=12), st.text(max_size=12)),
    rows=st.sampled_from(SIZES),
    glyphs=st.sampled_from([UNICODE, ASCII]),
)
def test_the_rows_of_any_text_are_equally_wide(text: str, rows: int, glyphs: Glyphs) -> None:
    """What stands beside a large text must stand straight, whatever a tag holds."""
    made = large(text, rows, glyphs)

    assert len(made) == rows
    assert {cell_len(row) for row in made} == {large_width(text, rows, glyphs)}


@pytest.mark.parametrize("text", ["c03", "Ü1", "C_1", "P\x1b[2J"])
def test_what_cannot_be_drawn_stands_there_small(text: str) -> None:
    """A tag nobody thought of must not end the screen, nor lose a letter."""
    assert not can_draw(text)
    above, middle, below = large(text, 3, UNICODE)
    assert middle == text.replace("\x1b", "?")
    assert not (above + below).strip()


def test_one_row_is_the_text_itself() -> None:
    """A small window shows the same call in plain letters."""
    assert large("C03 1:10", 1, UNICODE) == ("C03 1:10",)


@pytest.mark.parametrize("rows", [0, 2, 4, 9])
def test_other_sizes_do_not_exist(rows: int) -> None:
    """Guessing one would break the layout around it."""
    with pytest.raises(ValueError, match="large letters come in"):
        large("C03", rows, UNICODE)


@pytest.mark.parametrize(
    ("rows", "glyphs", "drawn"),
    [
        pytest.param(
            3,
            UNICODE,
            [
                "█▀▀▀ █▀▀█ ▀▀▀█     ▄█  ▄  ▄█  █▀▀█",
                "█    █  █  ▀▀█      █      █  █  █",
                "█▄▄▄ █▄▄█ ▄▄▄█     ▄█▄ ▀  ▄█▄ █▄▄█",
            ],
            id="three rows",
        ),
        pytest.param(
            3,
            ASCII,
            [
                " __  _   _                _ ",
                "|   | |  _|      | .   | | |",
                "|__ |_|  _|      | .   | |_|",
            ],
            id="three rows in ASCII",
        ),
        pytest.param(
            5,
            UNICODE,
            [
                "██████ ██████ ██████      ██        ██   ██████",
                "██     ██  ██     ██    ████   ██ ████   ██  ██",
                "██     ██  ██  █████      ██        ██   ██  ██",
                "██     ██  ██     ██      ██   ██   ██   ██  ██",
                "██████ ██████ ██████    ██████    ██████ ██████",
            ],
            id="five rows",
        ),
        pytest.param(
            7,
            ASCII,
            [
                "###### ###### ######      ##        ##   ######",
                "##     ##  ##     ##    ####   ## ####   ##  ##",
                "##     ##  ##     ##      ##   ##   ##   ##  ##",
                "##     ##  ##  #####      ##        ##   ##  ##",
                "##     ##  ##     ##      ##   ##   ##   ##  ##",
                "##     ##  ##     ##      ##   ##   ##   ##  ##",
                "###### ###### ######    ######    ###### ######",
            ],
            id="seven rows in ASCII",
        ),
    ],
)
def test_the_call_looks_like_this(rows: int, glyphs: Glyphs, drawn: list[str]) -> None:
    """Somebody looked at these; a change is to be looked at too."""
    assert [row.rstrip() for row in large("C03 1:10", rows, glyphs)] == [
        row.rstrip() for row in drawn
    ]
