"""Marks are one cell wide, at hand on a bare console, and never two meanings in one place."""

from __future__ import annotations

from dataclasses import fields

import pytest
from rich.cells import cell_len

from readbell.ui.glyphs import ASCII, UNICODE, Glyphs
from readbell.ui.ink import clean

NAMES = [field.name for field in fields(Glyphs)]
OF_A_TRACK = (
    "now",
    "dead",
    "early",
    "window",
    "closing",
    "slot_begins",
    "slot_ends",
    "drops",
    "missed",
)
PICTURES = {"▲"}
"""Stands at 1E in that set, where the codec has the control sign of the same number."""
OF_A_STRIP = ("clear", "faint", "trace", "open", "chosen")


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("glyphs", [UNICODE, ASCII], ids=["unicode", "ascii"])
def test_a_mark_is_one_cell_wide(glyphs: Glyphs, name: str) -> None:
    """A wider one would push the now-line out of its column."""
    mark = getattr(glyphs, name)

    if glyphs is ASCII and name in {"upper_half", "lower_half"}:
        assert mark == ""
    else:
        assert cell_len(mark) == 1
        assert clean(mark) == mark


@pytest.mark.parametrize("name", NAMES)
def test_every_mark_is_in_the_old_character_set(name: str) -> None:
    """A bare console has these and no others."""
    mark = getattr(UNICODE, name)

    assert mark in PICTURES or len(mark.encode("cp437")) == 1


@pytest.mark.parametrize("name", NAMES)
def test_the_plain_set_is_plain(name: str) -> None:
    """It is for terminals that would show two cells, or a hole, for anything else."""
    assert getattr(ASCII, name).isascii()


@pytest.mark.parametrize("glyphs", [UNICODE, ASCII], ids=["unicode", "ascii"])
@pytest.mark.parametrize("names", [OF_A_TRACK, OF_A_STRIP], ids=["a track", "a strip"])
def test_marks_that_stand_together_differ(names: tuple[str, ...], glyphs: Glyphs) -> None:
    """Colour comes third: the plain text alone tells them apart."""
    marks = [getattr(glyphs, name) for name in names]

    assert len(set(marks)) == len(marks)
    assert " " not in marks
