"""A loaded plan in its room: who is next and when, beside the next safe start, at every size."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import at
from core.starts.test_planned_starts import plan_of
from readbell.ui.glyphs import ASCII
from readbell.ui.page import compose
from ui.pages import LOOK, SIZES, text
from ui.test_plan_room import PLAN, ahead, in_buffer


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("look", [LOOK, replace(LOOK, glyphs=ASCII)], ids=["full", "ascii"])
def test_the_room_says_who_is_next_by_the_plan(width: int, height: int, look: object) -> None:
    """The next safe start stays the first line."""
    bench = in_buffer()
    bench.must(plan_of("1:00", "4:00", "6:00"), "1:20")
    shown = text(compose(ahead(bench.board, at("1:20"), PLAN), look, width, height))  # type: ignore[arg-type]

    assert "Plan: person 1 of 3, operator 1: in 1:00." in shown
    assert shown.index("Next safe start") < shown.index("Plan: person 1")


def test_the_room_says_that_the_plan_was_moved() -> None:
    """Nobody was begun for five minutes."""
    bench = in_buffer()
    bench.must(plan_of("0:00", "4:00"), "1:20")
    shown = text(compose(ahead(bench.board, at("6:20"), PLAN), LOOK, 120, 40))

    assert "Work is 5:00 behind the plan" in shown
