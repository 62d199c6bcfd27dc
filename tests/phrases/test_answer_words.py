"""An answer names its instant; one that has passed is never shown as one that stands."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import Bench, at
from phrases.test_next_start_words import FACE, asked
from readbell.core.board.board import Board
from readbell.core.plan.answer_state import AnswerState
from readbell.phrases.answer_words import FAILED, WORKING, say_as_of, say_stands, say_waits


def test_an_answer_says_since_when_it_stands_and_until_when() -> None:
    """Five seconds, or until the start it tells of."""
    found = asked(Bench(), "0:00")

    assert say_stands(found, FACE) == (
        "Worked out at 00:00:00; it stands until somebody acts, and until 00:00:05 at the latest."
    )
    assert say_as_of(found, FACE) == "What follows is as of 00:00:00."


def test_of_an_answer_that_has_passed_a_start_to_come_is_told_with_both_instants() -> None:
    """And never as the answer itself."""
    found = asked(Bench(), "0:00")
    coming = replace(found, start=replace(found.start, at=at("2:40")))
    said = say_waits(coming, AnswerState.PASSED, Bench().board, at("0:06"), FACE)

    assert said == (
        "Next safe start: being worked out; as of 00:00:00 not before 00:02:40",
        *WORKING,
    )


@pytest.mark.parametrize("start", ["0:00", "0:06", None])
def test_an_older_now_is_told_by_no_word(start: str | None) -> None:
    """Whoever glances at the board would take it for one."""
    found = asked(Bench(), "0:00")
    passed = replace(found, start=replace(found.start, at=None if start is None else at(start)))

    for each in say_waits(passed, AnswerState.PASSED, Bench().board, at("0:06"), FACE):
        assert "now" not in each


def test_where_there_is_none_the_reason_is_said() -> None:
    """It comes soon, there was a fault, or far too many run."""
    bench = Bench()
    bench.to_well()
    board = bench.board

    assert say_waits(None, AnswerState.NOT_YET, board, at("0:00"), FACE) == WORKING
    assert say_waits(None, AnswerState.PASSED, board, at("0:00"), FACE) == WORKING
    assert say_waits(None, AnswerState.FAILED, board, at("0:00"), FACE) == FAILED
    assert say_waits(None, AnswerState.STANDS, board, at("0:00"), FACE)[0] == (
        "Next safe start: not worked out with 1 running at once"
    )
    assert say_waits(None, AnswerState.STANDS, Board(), at("0:00"), FACE) == ()
