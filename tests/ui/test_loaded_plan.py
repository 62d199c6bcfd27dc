"""A loaded plan in its room: who is next and when, beside the next safe start, at every size."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import at, private
from core.starts.test_planned_starts import plan_of
from readbell.core.board.acts import RegisterParty
from readbell.hand.doing import Filling, Paper
from readbell.ui.glyphs import ASCII
from readbell.ui.page import compose
from ui.pages import LOOK, SIZES, present, text
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


def test_the_room_says_that_the_plan_was_made_anew() -> None:
    """Nobody was begun for five minutes."""
    bench = in_buffer()
    bench.must(plan_of("0:00", "4:00"), "1:20")
    shown = text(compose(ahead(bench.board, at("6:20"), PLAN), LOOK, 120, 40))

    assert "Planned anew at 00:59:40, as person 1 was not begun, 5:00 after the time" in shown


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("look", [LOOK, replace(LOOK, glyphs=ASCII)], ids=["full", "ascii"])
def test_the_board_says_whose_planned_turn_it_is(width: int, height: int, look: object) -> None:
    """In the row of the next safe start: which person of how many, which operator, and when."""
    bench = in_buffer()
    bench.must(plan_of("1:00", "4:00", "6:00"), "1:20")
    shown = text(compose(ahead(bench.board, at("1:20")), look, width, height))  # type: ignore[arg-type]

    (row,) = [each for each in shown.splitlines() if "plan: " in each]
    assert "1 of 3, operator 1: in 1:00" in row
    assert "Next safe start: now" in row or "start: now" in row


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_beside_those_who_wait_the_turn_and_the_start_keep_their_figures(
    width: int, height: int
) -> None:
    """The words grow fewer, and neither is left out."""
    bench = in_buffer()
    bench.must(
        RegisterParty(
            by="op-1", party=private("Q"), persons=tuple(private(f"Q-10{n}") for n in range(4))
        )
    )
    bench.must(plan_of("1:00", "4:00", "6:00"), "1:20")
    shown = text(compose(ahead(bench.board, at("1:20")), LOOK, width, height))

    (row,) = [each for each in shown.splitlines() if "plan: " in each]
    assert "to begin: " in row
    assert "1 of 3, op" in row
    assert "start: now" in row


def test_where_there_is_no_room_for_both_the_safe_start_stays() -> None:
    """It knows how things really stand."""
    bench = in_buffer()
    bench.must(plan_of("1:00", "4:00", "6:00"), "1:20")
    shown = text(compose(ahead(bench.board, at("1:20")), LOOK, 36, 16))

    assert "plan: " not in shown
    assert "start: now" in shown


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_the_form_has_what_was_proposed_and_says_what_is_open(width: int, height: int) -> None:
    """And the keys of the room say how to come there."""
    bench = in_buffer()
    room = text(compose(ahead(bench.board, at("1:20"), PLAN), LOOK, width, height))
    assert "F2 Make a plan" in room
    assert "F6 Drop it" in room
    form = Filling(paper=Paper.PLAN, answers=(("operators", "1"), ("slack", "0")))
    shown = text(compose(present(bench.board, form, now=at("1:20")), LOOK, width, height))

    assert "A plan for a batch" in shown
    assert "How many people are to be begun" in shown
    assert "F2 Save" in shown
