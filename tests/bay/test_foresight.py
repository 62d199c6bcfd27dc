"""The outlook is worked out beside the screen: a picture never waits for it, and never shows a wrong one."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

import pytest

from builders import Bench, at
from patience import PATIENCE_SECONDS
from readbell.bay.foresight import Foresight
from readbell.bay.outlook import Outlook
from readbell.core.plan.answer_state import AnswerState

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.plan.answer import Answer


class Work(Outlook):
    """An outlook that answers only once it is let, counts, and may break."""

    def __init__(self) -> None:
        super().__init__()
        self.may = threading.Event()
        self.breaks = False
        self.count = 0

    def worked_out(self, board: Board, now: Instant, **more: object) -> Answer | None:
        """Wait, then answer."""
        assert self.may.wait(PATIENCE_SECONDS)
        self.count += 1
        if self.breaks:
            raise ZeroDivisionError
        return super().worked_out(board, now, last=more["last"])  # type: ignore[arg-type]


class Watched:
    """A foresight, and a way to wait for its word."""

    def __init__(self) -> None:
        self.work = Work()
        self.told = threading.Semaphore(0)
        self.foresight = Foresight(self.work, self.told.release)

    def next(self) -> None:
        """Let it work, and wait until it has told of an answer."""
        self.work.may.set()
        assert self.told.acquire(timeout=PATIENCE_SECONDS)
        self.work.may.clear()


@pytest.fixture
def watched() -> Iterator[Watched]:
    """It runs from the beginning to the end of a test."""
    made = Watched()
    made.foresight.start()
    yield made
    made.work.may.set()
    made.foresight.stop()


def test_a_picture_gets_what_there_is_and_hears_of_the_answer(watched: Watched) -> None:
    """The first one has none, and does not wait."""
    board, now = Bench().board, at("0:00")

    assert watched.foresight.seen(board, now) == (None, AnswerState.NOT_YET)
    watched.next()
    found, state = watched.foresight.seen(board, now)
    assert found is not None
    assert (found.at, state) == (now, AnswerState.STANDS)


def test_once_somebody_has_acted_the_last_answer_is_told_as_passed(watched: Watched) -> None:
    """Until the next one is there."""
    bench = Bench()
    watched.foresight.seen(bench.board, at("0:00"))
    watched.next()
    first, _ = watched.foresight.seen(bench.board, at("0:01"))
    bench.label("C1", "P-001", "0:01")

    assert watched.foresight.seen(bench.board, at("0:01")) == (first, AnswerState.PASSED)
    watched.next()
    assert watched.foresight.seen(bench.board, at("0:01"))[1] is AnswerState.STANDS


def test_the_next_answer_is_begun_before_the_last_has_had_its_time(watched: Watched) -> None:
    """So that it need not be told as passed when nobody acts."""
    board = Bench().board
    watched.foresight.seen(board, at("0:00"))
    watched.next()
    assert watched.foresight.seen(board, at("0:04"))[1] is AnswerState.STANDS
    watched.next()
    found, state = watched.foresight.seen(board, at("0:05"))

    assert found is not None
    assert (found.at, state) == (at("0:04"), AnswerState.STANDS)


def test_whoever_can_wait_gets_the_answer_of_this_very_board(watched: Watched) -> None:
    """The words before a pouch is opened, say; nothing is worked out twice."""
    board = Bench().board
    watched.work.may.set()
    found = watched.foresight.waited_for(board, at("0:00"))

    assert watched.foresight.seen(board, at("0:00")) == (found, AnswerState.STANDS)
    assert watched.foresight.waited_for(board, at("0:01")) is found
    assert watched.work.count == 1


def test_a_fault_in_it_is_told_and_takes_nothing_along(watched: Watched) -> None:
    """It is tried again after a moment, and at once on another board."""
    board = Bench().board
    watched.work.breaks = True
    watched.foresight.seen(board, at("0:00"))
    watched.next()
    assert watched.foresight.seen(board, at("0:00.500")) == (None, AnswerState.FAILED)

    watched.work.breaks = False
    assert watched.foresight.seen(board, at("0:01"))[1] is AnswerState.NOT_YET
    watched.next()
    assert watched.foresight.seen(board, at("0:01.100"))[1] is AnswerState.STANDS


def test_a_fault_in_it_keeps_nobody_from_a_start(watched: Watched) -> None:
    """Whoever waits for the answer goes on without one."""
    board = Bench().board
    watched.work.may.set()
    watched.work.breaks = True

    assert watched.foresight.waited_for(board, at("0:00")) is None
    assert watched.foresight.seen(board, at("0:00.500")) == (None, AnswerState.FAILED)


def test_what_was_never_begun_is_stopped_too() -> None:
    """A board may be closed before it was ever seen."""
    Foresight(Outlook(), lambda: None).stop()
