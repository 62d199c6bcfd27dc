"""Whether something may be recorded that belongs to practice alone."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.events import Mode
from readbell.core.practice.acts import (
    AnswerInterruption,
    BeginPractice,
    LeapAhead,
    NoteAct,
    SetSpeed,
)
from readbell.core.practice.events import (
    InterruptionAnswered,
    LeaptAhead,
    PracticeActed,
    PracticeBegun,
    SpeedSet,
)
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.practice.acts import PracticeAct
    from readbell.core.practice.events import PracticeEvent

LIVE = "practice in a live bay"
BEGUN = "practice begun"
"""What a refusal calls them."""


def decide_practice(board: Board, act: PracticeAct, now: Instant) -> tuple[PracticeEvent] | Refusal:
    """Judge it: a live record takes nothing of it, and an attempt begins once."""
    if board.founded is None or board.founded.mode is not Mode.REHEARSAL:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=LIVE)
    match act:
        case BeginPractice():
            return _begin(board, act, now)
        case AnswerInterruption():
            return _answer(board, act, now)
        case NoteAct():
            return (PracticeActed(at=now, done=act.done, line=act.line),)
        case SetSpeed():
            return (SpeedSet(at=now, speed=act.speed),)
        case LeapAhead():
            return (LeaptAhead(at=now, by_span=act.by_span),)
        case _:
            assert_never(act)


def _begin(board: Board, act: BeginPractice, now: Instant) -> tuple[PracticeBegun] | Refusal:
    if board.practice is not None:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=BEGUN)
    return (
        PracticeBegun(
            at=now,
            scenario=act.scenario,
            title=act.title,
            assist=act.assist,
            trainee=act.trainee,
        ),
    )


def _answer(
    board: Board, act: AnswerInterruption, now: Instant
) -> tuple[InterruptionAnswered] | Refusal:
    by = None if act.by is None else board.operators.get(act.by)
    if act.by is not None and by is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    return (InterruptionAnswered(at=now, by=by, number=act.number, answer=act.answer),)
