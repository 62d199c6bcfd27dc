"""The next safe start on the board, and its room: the same at every size, told by words alone."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import Bench, at
from core.starts.test_planned_starts import with_break
from readbell.bay.outlook import Outlook
from readbell.core.board.board import Board
from readbell.core.instant import Span
from readbell.core.plan.answer_state import AnswerState
from readbell.hand.doing import Room, Visiting
from readbell.ui.glyphs import ASCII
from readbell.ui.page import compose
from ui.busy_board import NOW, busy_bench
from ui.pages import LOOK, SIZES, present, text

if TYPE_CHECKING:
    from readbell.core.instant import Instant
    from readbell.ui.front import Present

PLAN = Visiting(room=Room.PLAN)


def ahead(board: Board, now: Instant, doing: Visiting | None = None, hands: int = 1) -> Present:
    """Return how everything stands, the next safe start worked out."""
    stands = present(board, doing, now=now)
    found = Outlook(hands, Span(0)).at(board, now)
    return replace(stands, scene=replace(stands.scene, outlook=found))


def in_buffer() -> Bench:
    """Return a bench with one swab in its buffer since 1:20."""
    bench = Bench()
    bench.label("C1", "P-001", "0:00")
    for step, when in (("buffer", "0:10"), ("collect", "0:55"), ("extract", "1:20")):
        bench.step(step, when)
    return bench


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_the_next_safe_start_stands_on_the_board_with_its_rule(width: int, height: int) -> None:
    """At each of the three sizes, in a row that was there before."""
    bench = in_buffer()
    shown = text(compose(ahead(bench.board, at("1:20")), LOOK, width, height))

    assert "Next safe start: now (guaranteed)" in shown
    late = text(compose(ahead(bench.board, at("2:20")), LOOK, width, height))
    assert "Next safe start: in 0:40 (guaranteed)" in late or "C1 must be gone on with" in late


def test_where_there_is_little_room_the_words_grow_fewer_and_the_instant_stays() -> None:
    """What the hands do now stands in the same row, and goes first."""
    bench = busy_bench()
    shown = text(compose(ahead(bench.board, NOW, hands=3), LOOK, 80, 24))
    narrow = text(compose(ahead(bench.board, NOW, hands=3), LOOK, 36, 12))
    least = text(compose(ahead(bench.board, NOW, hands=3), LOOK, 20, 12))

    assert "(guaranteed)" in shown
    assert "start: " in narrow
    assert "start: now" in least


def test_a_board_that_does_not_work_it_out_says_nothing() -> None:
    """An onlooker's, say."""
    shown = text(compose(present(in_buffer().board, now=at("1:20")), LOOK, 120, 40))

    assert "safe start" not in shown


@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("glyphs", [LOOK.glyphs, ASCII], ids=["all signs", "plain signs"])
def test_the_room_has_the_answer_its_reason_and_every_hand_s_list(
    width: int, height: int, glyphs: object
) -> None:
    """Nobody's list is pushed out by another's."""
    look = replace(LOOK, glyphs=glyphs)  # type: ignore[arg-type]  # one of the two sets
    bench = busy_bench()
    shown = text(compose(ahead(bench.board, NOW, PLAN, hands=3), look, width, height))

    assert "[Plan]" in shown
    assert "Next safe start: " in shown
    assert "Guaranteed: nothing is missed" in shown
    for name in ("Next for op-1", "Next for operator 2", "Next for operator 3"):
        assert name in shown


def test_of_a_long_list_the_first_are_shown_and_the_others_counted() -> None:
    """The next thing to do is what matters."""
    bench = busy_bench()
    shown = text(compose(ahead(bench.board, NOW, PLAN), LOOK, 80, 24))

    assert " more" in shown
    assert "read C03" in shown


def test_without_an_assay_the_room_says_so() -> None:
    """There is nobody to begin."""
    shown = text(compose(present(Board(), PLAN, now=at("0:00")), LOOK, 80, 24))

    assert "no assay is adopted yet" in shown


def test_in_the_lowest_window_the_answer_is_what_is_left() -> None:
    """The lists give way to it."""
    shown = text(compose(ahead(in_buffer().board, at("1:20"), PLAN), LOOK, 60, 8))

    assert "Next safe start: now" in shown


@pytest.mark.parametrize("doing", [None, PLAN], ids=["board", "room"])
@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize(
    ("state", "said"),
    [
        (AnswerState.PASSED, "start: being worked out"),
        (AnswerState.FAILED, "could not be worked out"),
    ],
)
def test_an_answer_that_does_not_stand_is_not_shown_as_one(
    state: AnswerState, said: str, width: int, height: int, doing: Visiting | None
) -> None:
    """Somebody has acted, and it was "now" before."""
    stands = ahead(in_buffer().board, at("1:20"), doing)
    passed = replace(stands, scene=replace(stands.scene, outlook_state=state))
    shown = text(compose(passed, LOOK, width, height))

    assert said in shown
    assert "safe start: now" not in shown
    assert "Guaranteed" not in shown


@pytest.mark.parametrize("doing", [None, PLAN], ids=["board", "room"])
def test_before_the_first_answer_the_board_says_that_it_is_coming(doing: Visiting | None) -> None:
    """The first picture waits for nothing."""
    stands = present(in_buffer().board, doing, now=at("1:20"))
    waits = replace(stands.scene, outlook_state=AnswerState.NOT_YET)
    shown = text(compose(replace(stands, scene=waits), LOOK, 80, 24))

    assert "Next safe start: being worked out" in shown


@pytest.mark.parametrize("doing", [None, PLAN], ids=["board", "room"])
def test_with_far_too_many_running_the_board_says_so(doing: Visiting | None) -> None:
    """Nobody has to find out by waiting for it."""
    stands = present(busy_bench().board, doing)
    many = replace(stands.scene, outlook_state=AnswerState.STANDS)
    shown = text(compose(replace(stands, scene=many), LOOK, 120, 40))

    assert "Next safe start: not worked out with " in shown


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_the_board_says_who_is_on_a_break(width: int, height: int) -> None:
    """In the row of the next safe start, and with more in the room."""
    bench = in_buffer()
    bench.must(with_break(1, "1:00", "5:00"), "1:20")
    stands = ahead(bench.board, at("2:20"))
    room = ahead(bench.board, at("2:20"), PLAN)

    shown = text(compose(stands, LOOK, width, height))
    assert "op-1 on a break until " in shown or "op-1 away" in shown
    assert "op-1 is on a break until " in text(compose(room, LOOK, width, height))


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_what_was_answered_last_does_not_hide_the_next_safe_start(width: int, height: int) -> None:
    """It stands until the next answer, and that may be long."""
    stands = ahead(in_buffer().board, at("1:20"))
    said = replace(stands, hand=stands.hand.saying("C1  Swab into the buffer: done.", fine=True))
    shown = text(compose(said, LOOK, width, height))

    assert "Swab into the buffer: done." in shown
    assert "start: now" in shown


def test_where_the_list_would_have_too_little_left_the_answer_goes_first() -> None:
    """What runs is worth more than who comes next."""
    stands = ahead(busy_bench().board, NOW)
    said = replace(stands, hand=stands.hand.saying("C1  Swab into the buffer: done.", fine=True))
    shown = text(compose(said, LOOK, 80, 14))

    assert "Swab into the buffer: done." in shown
    assert "start: " not in shown
