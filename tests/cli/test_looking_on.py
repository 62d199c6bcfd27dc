"""What a command tells of the past bears the times that the clock on the wall showed then."""

from __future__ import annotations

from dataclasses import replace

from builders import START
from readbell.cli.looking_on import face_now
from readbell.core.board.board import Board
from readbell.core.instant import HOUR, MINUTE, Span, later


def test_a_clock_that_was_set_at_noon_says_nothing_else_of_the_morning() -> None:
    """A list of a recall would name other times than the slips that people have in their hands."""
    noon = later(START, Span(HOUR))
    board = replace(Board(), clock_jumps=((noon, Span(30 * MINUTE)),))
    face = face_now(board, 30 * MINUTE)

    assert face.local(START).timestamp() * 1000 == START
    assert face.local(noon).timestamp() * 1000 == noon + 30 * MINUTE


def test_what_nobody_recorded_of_a_clock_is_taken_to_have_been_so_all_the_time() -> None:
    """A second that clocks may part by; and records from before such a thing was recorded."""
    face = face_now(Board(), 700)

    assert face.local(START).timestamp() * 1000 == START + 700
