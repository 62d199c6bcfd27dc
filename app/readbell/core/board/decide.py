"""decide(board, act, now) -> events or a refusal: the one door every act goes through."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.acts import (
    Act,
    AdoptAssay,
    HearAlert,
    HoldLot,
    MuteSound,
    OpenLot,
    ReceiveLot,
    RegisterOperator,
    RegisterParty,
    RegisterPerson,
    TryAlarm,
    Unmute,
)
from readbell.core.board.alarm import decide_sound
from readbell.core.board.identify import identify
from readbell.core.board.label import decide_label
from readbell.core.board.register import (
    decide_adoption,
    decide_hold,
    decide_lot,
    decide_opening,
    decide_operator,
    decide_party,
    decide_person,
)
from readbell.core.cartridge.acts import (
    CorrectReading,
    DoStep,
    DoSteps,
    Label,
    Look,
    Read,
    StateApplication,
    Void,
)
from readbell.core.cartridge.correction import decide_correction
from readbell.core.cartridge.ending import decide_statement, decide_void
from readbell.core.cartridge.looks import decide_look, decide_read
from readbell.core.cartridge.steps import decide_step
from readbell.core.cartridge.together import decide_steps
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant


def decide(board: Board, act: Act, now: Instant) -> tuple[Event, ...] | Refusal:
    """Judge `act` on `board` at `now`: what it makes happen, or why it may not."""
    match act:
        case Label():
            return decide_label(board, act, now)
        case (
            DoStep() | DoSteps() | Look() | Read() | CorrectReading() | Void() | StateApplication()
        ):
            return _decide_on_cartridge(board, act, now)
        case HearAlert() | MuteSound() | Unmute() | TryAlarm():
            return decide_sound(board, act, now)
        case HoldLot():
            return decide_hold(board, act, now)
        case OpenLot():
            return decide_opening(board, act, now)
        case RegisterOperator():
            return decide_operator(board, act, now)
        case RegisterPerson():
            return decide_person(board, act, now)
        case RegisterParty():
            return decide_party(board, act, now)
        case AdoptAssay():
            return decide_adoption(board, act, now)
        case ReceiveLot():
            return decide_lot(board, act, now)
        case _:
            assert_never(act)


def _decide_on_cartridge(
    board: Board,
    act: DoStep | DoSteps | Look | Read | CorrectReading | Void | StateApplication,
    now: Instant,
) -> tuple[Event, ...] | Refusal:
    identity = identify(board, act, now)
    if isinstance(identity, Refusal):
        return identity
    cartridge, by = identity.cartridge, identity.operator
    match act:
        case DoStep():
            return decide_step(cartridge, act, by, now)
        case DoSteps():
            return decide_steps(cartridge, act, by, now)
        case Look():
            return decide_look(cartridge, act, by, now)
        case Read():
            return decide_read(cartridge, act, by, now)
        case CorrectReading():
            return decide_correction(cartridge, act, by, now)
        case Void():
            return decide_void(cartridge, act, by, now)
        case StateApplication():
            witness = board.operators.get(act.witness)
            if witness is None:
                return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.witness)
            return decide_statement(cartridge, act, by, witness, now)
        case _:
            assert_never(act)
