"""The picture of an attempt: told apart without colour, and the same each time."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from readbell.phrases.debrief_words import PICTURE_LEGEND
from readbell.reports.debrief_picture import WINDOW, picture_of
from readbell.reports.drawing import Drawing, Stroke, Words, svg
from rehearsal.scored import scored_file

if TYPE_CHECKING:
    from readbell.core.rehearsal.score import Score

DEMOS = Path(__file__).parents[2] / "demo_scenarios"


@pytest.fixture(scope="module")
def worst(tmp_path_factory: pytest.TempPathFactory) -> Score:
    """An attempt with everything in it."""
    return scored_file(DEMOS / "the_worst_hour.toml", tmp_path_factory.mktemp("worst"))


def drawn(score: Score) -> Drawing:
    """Draw it."""
    return picture_of(score, ("A title", "A goal", "A line below"), PICTURE_LEGEND)


def words_of(drawing: Drawing) -> list[str]:
    """Return what is written in it."""
    return [each.text for each in drawing.marks if isinstance(each, Words)]


def test_each_cartridge_has_a_row_and_each_end_its_sign(worst: Score) -> None:
    """Fifteen read, two voided."""
    found = words_of(drawn(worst))

    assert {f"C{n}" for n in range(1, 18)} <= set(found)
    assert (found.count("R"), found.count("v"), found.count("X")) == (15, 2, 0)
    assert set(PICTURE_LEGEND) <= set(found)
    assert found[:2] == ["A title", "A goal"]


def test_a_lost_window_and_an_early_positive_have_theirs(tmp_path: Path) -> None:
    """What matters most is seen first."""
    lost = drawn(scored_file(DEMOS / "missed_window.toml", tmp_path))
    early = drawn(scored_file(DEMOS / "household_of_six.toml", tmp_path))

    assert "X" in words_of(lost)
    assert "e" in words_of(early)


def test_nothing_is_drawn_beside_the_page(worst: Score) -> None:
    """A window that closes after the last reading, too."""
    drawing = drawn(worst)
    strokes = [each for each in drawing.marks if isinstance(each, Stroke)]

    assert all(0 <= x <= drawing.wide for each in strokes for x, _ in each.points)
    assert all(0 <= y <= drawing.high for each in strokes for _, y in each.points)
    assert sum(each.wide == WINDOW for each in strokes) == 16  # fifteen, and the legend


def test_the_same_attempt_gives_the_same_picture(worst: Score) -> None:
    """To the last byte."""
    assert svg(drawn(worst)) == svg(drawn(worst))


def test_an_attempt_in_which_nothing_was_done_is_a_picture_all_the_same(worst: Score) -> None:
    """An axis, and a title."""
    empty = replace(worst, lanes=(), pace=replace(worst.pace, should=()), ends=worst.starts)

    assert "A title" in words_of(drawn(empty))
