"""Runs from paper stand below the results that were timed, marked as what they are."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import NEGATIVE, at, private, span
from core.board.paper_bench import LATER, run
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.reasons import WithdrawReason
from readbell.core.stock.acts import RecallLot
from readbell.hand.doing import Room, Visiting
from ui.pages import one_strip, painted, present, text

ROOM = Visiting(room=Room.TODAY)


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
def test_they_stand_below_and_say_so(size: tuple[int, int]) -> None:
    """With who ran it; the clock time is the one on paper."""
    bench = one_strip()
    bench.must(bench.read_act(NEGATIVE, "C07"), "18:00")
    bench.must(run(), LATER)
    page = text(painted(present(bench.board, ROOM, now=at(LATER)), *size))
    assert page.index("C07") < page.index("Entered from paper") < page.index("C31")
    assert "op-1  paper, stated" in page


def test_a_run_with_a_lot_that_was_called_back_says_so() -> None:
    """Until the recall is withdrawn: nobody relies on it unseen."""
    bench = one_strip()
    bench.must(run(), LATER)
    assert "RECALLED" not in text(painted(present(bench.board, ROOM, now=at(LATER)), 80, 24))
    bench.must(RecallLot(by="op-1", lot="L-100"), LATER)
    page = text(painted(present(bench.board, ROOM, now=at(LATER)), 80, 24))
    assert "RECALLED  op-1  paper" in page


def test_a_run_that_was_taken_back_says_so_in_the_place_of_its_outcome() -> None:
    """As a cartridge does."""
    bench = one_strip()
    bench.must(run(), LATER)
    act = WithdrawResult(
        by="op-2", cartridge="C31", reason=WithdrawReason.ANOTHER_PERSON, words=private("x")
    )
    bench.must(act, LATER)
    page = text(painted(present(bench.board, ROOM, now=at(LATER)), 80, 24))
    assert "WITHDRAWN" in page
    assert "NEGATIVE" not in page


def test_alone_they_are_shown_too_and_hidden_with_the_rest() -> None:
    """Whose it is and what came of it is nobody's who walks by."""
    bench = one_strip()
    bench.must(run(), LATER)
    here = text(painted(present(bench.board, ROOM, now=at(LATER)), 80, 24))
    assert "P-001" in here
    assert "NEGATIVE" in here
    away = text(painted(present(bench.board, ROOM, now=at(LATER), idle=span("11:00")), 80, 24))
    assert "C31" in away
    assert "P-001" not in away
    assert "NEGATIVE" not in away


def test_an_open_record_shows_that_persons_alone() -> None:
    """Of any day."""
    bench = one_strip()
    bench.must(run(), LATER)
    bench.must(replace(run(), new_id="paper-2", label="C32", person="P-002"), LATER)
    doing = replace(ROOM, person="P-002")
    page = text(painted(present(bench.board, doing, now=at("2000:00")), 80, 24))
    assert "C32" in page
    assert "C31" not in page
    assert "C3" not in text(painted(present(bench.board, ROOM, now=at("2000:00")), 80, 24))
