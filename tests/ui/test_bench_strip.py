"""A virtual strip must be read by eye alone: every look it can have is another picture."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product

import pytest

from readbell.core.reading.bands import Unreadable
from readbell.core.rehearsal.virtual_cartridge import Drawn, Shade
from readbell.ui.bench_strip import bench_strip
from readbell.ui.glyphs import ASCII, UNICODE, Glyphs

MARKS = {1: ("C", "T"), 3: ("C", "A", "B", "T")}
SIZES = ((48, 3), (60, 5), (40, 6))
BOTH = pytest.mark.parametrize("glyphs", [UNICODE, ASCII], ids=["unicode", "ascii"])


def drawn(control: bool, *shades: Shade, spoilt: Unreadable | None = None) -> Drawn:
    """Return a strip."""
    lines = tuple((f"line-{place}", shade) for place, shade in enumerate(shades))
    return Drawn(control=control, lines=lines, spoilt=spoilt)


def picture(strip: Drawn, glyphs: Glyphs = UNICODE, width: int = 48, rows: int = 3) -> str:
    """Return the strip as it is seen without colour."""
    marks = MARKS[len(strip.lines)]
    return "\n".join(
        each.text for each in bench_strip(strip, marks, glyphs, width=width, rows=rows)
    )


@BOTH
@pytest.mark.parametrize(("width", "rows"), SIZES)
def test_no_two_strips_look_the_same(glyphs: Glyphs, width: int, rows: int) -> None:
    """Strong, faint, very faint, none; control there or not: by texture alone."""
    strips = [drawn(control, shade) for control, shade in product((True, False), Shade)]
    strips += [drawn(True, *shades) for shades in product(Shade, repeat=3)]
    pictures = [picture(each, glyphs, width, rows) for each in strips]

    for (one, first), (other, second) in combinations(zip(strips, pictures, strict=True), 2):
        assert first != second, (one, other)


@BOTH
@pytest.mark.parametrize("reason", Unreadable)
@pytest.mark.parametrize(("width", "rows"), SIZES)
def test_a_spoilt_strip_looks_like_no_other(
    glyphs: Glyphs, reason: Unreadable, width: int, rows: int
) -> None:
    """Nobody may take a smear for a line."""
    whole = {picture(drawn(c, s), glyphs, width, rows) for c, s in product((True, False), Shade)}
    other = {
        picture(drawn(True, Shade.FAINT, spoilt=each), glyphs, width, rows)
        for each in Unreadable
        if each is not reason
    }
    spoilt = picture(drawn(True, Shade.FAINT, spoilt=reason), glyphs, width, rows)

    assert spoilt not in whole | other


def test_the_fluid_runs_from_the_drops_over_the_test_line_to_the_control_line() -> None:
    """A control line that the fluid reached first would prove nothing of the other."""
    dry = drawn(False, Shade.ABSENT)
    fronts = [
        picture(replace(dry, front=front)).split("\n")[1].index("(") for front in (0, 400, 999)
    ]
    names = picture(dry).split("\n")[-1]

    assert fronts == sorted(fronts, reverse=True)
    assert names.index(" C ") < names.index(" T ") < picture(dry).split("\n")[1].index("drops")
    assert fronts[0] > names.index(" T ")
    assert fronts[-1] < names.index(" C ")


def test_a_flow_that_stopped_never_came_to_the_control_line() -> None:
    """So none is drawn, whatever the scenario has come there."""
    seen = picture(drawn(True, Shade.CLEAR, spoilt=Unreadable.FLOW_STOPPED)).split("\n")
    names = seen[-1]

    assert seen[1][names.index(" C ") + 1] == " "
    assert seen[1][names.index(" T ") + 1] == UNICODE.clear


@BOTH
def test_the_lines_stand_in_the_order_of_the_device_over_their_letters(glyphs: Glyphs) -> None:
    """The control line first, as its kit prints it."""
    made = picture(drawn(True, Shade.FAINT, Shade.ABSENT, Shade.CLEAR), glyphs, 60, 3).split("\n")
    names = made[-1]
    for mark, sign in (("C", glyphs.clear), ("A", glyphs.faint), ("T", glyphs.clear)):
        assert made[1][names.index(f" {mark} ") + 1] == sign
    assert made[1][names.index(" B ") + 1] == " "
    assert "drops" in made[1]


@pytest.mark.parametrize("width", [20, 30, 48, 62])
@pytest.mark.parametrize("rows", [3, 5, 6])
@pytest.mark.parametrize("count", [1, 3])
def test_every_row_is_equally_wide(width: int, rows: int, count: int) -> None:
    """Or the frame would be torn."""
    made = bench_strip(
        drawn(True, *[Shade.VERY_FAINT] * count, spoilt=Unreadable.SMEAR),
        MARKS[count],
        UNICODE,
        width=width,
        rows=rows,
    )
    assert len(made) == rows
    assert len({each.width for each in made}) == 1


@pytest.mark.parametrize("reason", [None, *Unreadable])
def test_nothing_is_named_but_what_is_printed_on_the_device(reason: Unreadable | None) -> None:
    """A word for what is seen would be the answer."""
    shown = picture(drawn(True, Shade.FAINT, spoilt=reason), UNICODE, 62, 6)
    letters = {each for each in shown if each.isalpha()}

    assert letters <= set("CT" + "drops")
