"""What belongs to practice stands in the record of a rehearsal, and in no other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import Bench, at, private
from readbell.core.board.board import Board
from readbell.core.board.decide import decide
from readbell.core.board.events import BayFounded, Mode
from readbell.core.board.fold import fold, replay
from readbell.core.board.practice import BEGUN, LIVE
from readbell.core.instant import Instant, Span
from readbell.core.people.events import OperatorRegistered
from readbell.core.practice.acts import (
    AnswerInterruption,
    BeginPractice,
    LeapAhead,
    NoteAct,
    SetSpeed,
)
from readbell.core.practice.assist import Assist
from readbell.core.practice.events import (
    InterruptionAnswered,
    LeaptAhead,
    PracticeActed,
    PracticeBegun,
    SpeedSet,
)
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.practice.acts import PracticeAct
    from readbell.core.practice.events import PracticeEvent

NOW = at("1:00")
BEGIN = BeginPractice(
    scenario="ab12", title="Two", assist=Assist.SILENT, trainee=private("Quillfeather")
)
ANSWER = AnswerInterruption(by="op-1", number=2, answer=private("L-100"))
ACTS: tuple[tuple[PracticeAct, PracticeEvent], ...] = (
    (
        BEGIN,
        PracticeBegun(
            at=NOW,
            scenario="ab12",
            title="Two",
            assist=Assist.SILENT,
            trainee=private("Quillfeather"),
        ),
    ),
    (
        ANSWER,
        InterruptionAnswered(at=NOW, by=private("op-1").key, number=2, answer=private("L-100")),
    ),
    (
        AnswerInterruption(by=None, number=1, answer=private("")),
        InterruptionAnswered(at=NOW, by=None, number=1, answer=private("")),
    ),
    (
        NoteAct(done=at("0:59"), line=private("{}")),
        PracticeActed(at=NOW, done=at("0:59"), line=private("{}")),
    ),
    (SetSpeed(speed=20), SpeedSet(at=NOW, speed=20)),
    (LeapAhead(by_span=Span(60_000)), LeaptAhead(at=NOW, by_span=Span(60_000))),
)


def board(mode: Mode = Mode.REHEARSAL) -> Board:
    """Return a bay with one operator."""
    return replay(
        (
            BayFounded(at=Instant(0), bay="Harrow Quay", timezone="UTC", mode=mode),
            OperatorRegistered(at=Instant(0), by=None, operator=private("op-1")),
        )
    )


@pytest.mark.parametrize(("act", "event"), ACTS, ids=lambda each: type(each).__name__)
def test_a_rehearsal_takes_what_belongs_to_practice(act: PracticeAct, event: PracticeEvent) -> None:
    """At the instant at which it was asked."""
    assert decide(board(), act, NOW) == (event,)


@pytest.mark.parametrize("act", [act for act, _ in ACTS], ids=lambda each: type(each).__name__)
@pytest.mark.parametrize("bay", [board(Mode.LIVE), Board()], ids=["live", "no bay"])
def test_a_live_record_takes_none_of_it(act: PracticeAct, bay: Board) -> None:
    """Patients' records and practice are never one."""
    assert decide(bay, act, NOW) in (
        Refusal(code=RefusalCode.NOT_ALLOWED, subject=LIVE),
        Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject="op-1"),
    )


def test_an_attempt_begins_once() -> None:
    """Two in one journal could not be told apart."""
    begun = fold(board(), ACTS[0][1])

    assert begun.practice == ACTS[0][1]
    assert decide(begun, BEGIN, NOW) == Refusal(code=RefusalCode.NOT_ALLOWED, subject=BEGUN)


def test_an_answer_names_somebody_who_is_known_here_or_nobody() -> None:
    """A badge that nobody knows is no answer."""
    stranger = AnswerInterruption(by="op-9", number=1, answer=private("L-100"))

    assert decide(board(), stranger, NOW) == Refusal(
        code=RefusalCode.UNKNOWN_OPERATOR, subject="op-9"
    )


@pytest.mark.parametrize("event", [event for _, event in ACTS[1:]], ids=lambda e: type(e).__name__)
def test_nothing_of_the_bay_changes_by_it(event: PracticeEvent) -> None:
    """It is kept for the debrief and a replay."""
    bench = Bench()
    bench.label()

    assert fold(bench.board, event) == bench.board
