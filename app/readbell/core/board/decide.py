"""decide(board, act, now) -> events or a refusal: the one door every act goes through."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.acts import (
    Act,
    AdoptAssay,
    HearAlert,
    MuteSound,
    RegisterOperator,
    RegisterParty,
    RegisterPerson,
    TryAlarm,
    Unmute,
)
from readbell.core.board.alarm import decide_sound
from readbell.core.board.allowed import refuse_actor
from readbell.core.board.competence import with_supervision
from readbell.core.board.contradicting import with_both_held, with_contradiction
from readbell.core.board.correcting import refuse_correction
from readbell.core.board.holding import with_holds
from readbell.core.board.identify import identify, identify_cartridge
from readbell.core.board.keeping import decide_keeping
from readbell.core.board.label import decide_label
from readbell.core.board.lot_doubt import with_doubts
from readbell.core.board.paper_runs import decide_paper_run
from readbell.core.board.patients import decide_patient
from readbell.core.board.planned_starts import decide_starts
from readbell.core.board.practice import decide_practice
from readbell.core.board.register import (
    decide_adoption,
    decide_operator,
    decide_party,
    decide_person,
)
from readbell.core.board.review import decide_review
from readbell.core.board.samples import with_verdict
from readbell.core.board.second_reader import refuse_same_name, with_second
from readbell.core.board.sending import decide_export
from readbell.core.board.shifts import decide_shift
from readbell.core.board.staff import decide_staff
from readbell.core.board.stations import decide_stations
from readbell.core.board.stock import decide_lots
from readbell.core.board.subjects import is_patients
from readbell.core.board.telling import decide_telling
from readbell.core.board.temperature import decide_temperature, hold_for_temperature
from readbell.core.cartridge.acts import (
    CorrectReading,
    DoStep,
    DoSteps,
    Label,
    Look,
    Read,
    StateApplication,
    TakeBackStep,
    Void,
)
from readbell.core.cartridge.correction import decide_correction
from readbell.core.cartridge.ending import decide_statement, decide_void
from readbell.core.cartridge.looks import decide_look, decide_read
from readbell.core.cartridge.steps import decide_step
from readbell.core.cartridge.taking_back import decide_taking_back
from readbell.core.cartridge.together import decide_steps
from readbell.core.cartridge.unverified import ReadUnverified, decide_unverified
from readbell.core.climate.acts import FailThermometer, NoteTemperature
from readbell.core.exports.acts import NoteExport
from readbell.core.keeping.acts import EraseRecords, OpenTrace, WriteArchive
from readbell.core.paper.acts import EnterPaperRun
from readbell.core.people.acts import (
    LabelAhead,
    NoteConsent,
    NoteLeft,
    NoteParticulars,
    NoteParty,
    NoteSymptoms,
    RefuseConsent,
)
from readbell.core.practice.acts import (
    AnswerInterruption,
    BeginPractice,
    LeapAhead,
    NoteAct,
    SetSpeed,
)
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.results.telling import TellResult
from readbell.core.review.acts import AmendResult, ReleaseReading, WithdrawResult
from readbell.core.shift.acts import CloseShift, OpenShift, ShiftAct, SignDaySheet
from readbell.core.staff.acts import (
    GiveRoles,
    LockStation,
    OpenRecord,
    RetireOperator,
    SetPin,
    SignIn,
    SignOut,
    StateCompetence,
    UnlockOperator,
)
from readbell.core.starts.acts import DropPlan, LoadPlan
from readbell.core.stations.acts import GiveUpStation, SettleApart

if TYPE_CHECKING:
    from readbell.core.board.acts import HoldLot, OpenLot, ReceiveLot
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.controls.acts import SampleAct
    from readbell.core.instant import Instant
    from readbell.core.keeping.acts import KeepingAct
    from readbell.core.practice.acts import PracticeAct
    from readbell.core.starts.acts import StartsAct
    from readbell.core.stations.acts import StationsAct
    from readbell.core.stock.acts import StockAct


def decide(board: Board, act: Act, now: Instant) -> tuple[Event, ...] | Refusal:
    """Judge `act` on `board` at `now`: what it makes happen, or why it may not."""
    refused = refuse_actor(board, act)
    if refused is not None:
        return refused
    match act:
        case Label():
            return _start(board, act, now)
        case (
            DoStep()
            | DoSteps()
            | TakeBackStep()
            | Look()
            | Read()
            | CorrectReading()
            | Void()
            | StateApplication()
        ):
            return with_holds(board, act, _decide_on_cartridge(board, act, now), now)
        case ReadUnverified():
            return _decide_unverified(board, act, now)
        case (
            GiveRoles()
            | RetireOperator()
            | SetPin()
            | SignIn()
            | SignOut()
            | LockStation()
            | UnlockOperator()
            | StateCompetence()
            | OpenRecord()
        ):
            return decide_staff(board, act, now)
        case ReleaseReading() | WithdrawResult() | AmendResult():
            return decide_review(board, act, now)
        case HearAlert() | MuteSound() | Unmute() | TryAlarm():
            return decide_sound(board, act, now)
        case RegisterOperator():
            return decide_operator(board, act, now)
        case RegisterPerson():
            return decide_person(board, act, now)
        case RegisterParty():
            return decide_party(board, act, now)
        case AdoptAssay():
            return decide_adoption(board, act, now)
        case (
            NoteParticulars()
            | NoteConsent()
            | RefuseConsent()
            | NoteSymptoms()
            | NoteParty()
            | LabelAhead()
            | NoteLeft()
        ):
            return decide_patient(board, act, now)
        case NoteTemperature() | FailThermometer():
            return decide_temperature(board, act, now)
        case _:
            return _decide_beside(board, act, now)


def _decide_beside(
    board: Board,
    act: EnterPaperRun
    | TellResult
    | NoteExport
    | KeepingAct
    | StartsAct
    | PracticeAct
    | ReceiveLot
    | HoldLot
    | OpenLot
    | StockAct
    | SampleAct
    | ShiftAct
    | StationsAct,
    now: Instant,
) -> tuple[Event, ...] | Refusal:
    """Judge what is done beside the strips: results leave, plans are made, boxes come in."""
    match act:
        case EnterPaperRun():
            return decide_paper_run(board, act, now)
        case TellResult():
            return decide_telling(board, act, now)
        case NoteExport():
            return decide_export(board, act, now)
        case OpenTrace() | WriteArchive() | EraseRecords():
            return decide_keeping(board, act, now)
        case OpenShift() | CloseShift() | SignDaySheet():
            return decide_shift(board, act, now)
        case LoadPlan() | DropPlan():
            return decide_starts(board, act, now)
        case BeginPractice() | AnswerInterruption() | NoteAct() | SetSpeed() | LeapAhead():
            return decide_practice(board, act, now)
        case GiveUpStation() | SettleApart():
            return decide_stations(board, act, now)
        case _:
            return decide_lots(board, act, now)


def _decide_unverified(
    board: Board, act: ReadUnverified, now: Instant
) -> tuple[Event, ...] | Refusal:
    cartridge = identify_cartridge(board, act.reading, now)
    if isinstance(cartridge, Refusal):
        return cartridge
    refused = refuse_same_name(board, cartridge, act.name)
    if refused is not None:
        return refused
    decided = with_second(board, cartridge, decide_unverified(cartridge, act, now))
    return with_contradiction(board, cartridge, decided)


def _with_followers(
    board: Board, cartridge: Cartridge, decided: tuple[Event, ...] | Refusal
) -> tuple[Event, ...] | Refusal:
    """Return what comes of a reading, or of its correction, with all that follows from it."""
    if not is_patients(cartridge):
        return with_verdict(board, cartridge, decided)
    return with_contradiction(board, cartridge, with_second(board, cartridge, decided))


def _start(board: Board, act: Label, now: Instant) -> tuple[Event, ...] | Refusal:
    decided = hold_for_temperature(decide_label(board, act, now))
    return with_supervision(board, act, decided, now)


def _decide_on_cartridge(
    board: Board,
    act: DoStep | DoSteps | TakeBackStep | Look | Read | CorrectReading | Void | StateApplication,
    now: Instant,
) -> tuple[Event, ...] | Refusal:
    identity = identify(board, act, now)
    if isinstance(identity, Refusal):
        return identity
    cartridge, by = identity.cartridge, identity.operator
    match act:
        case DoStep():
            return with_doubts(board, cartridge, decide_step(cartridge, act, by, now), act.today)
        case DoSteps():
            return with_doubts(board, cartridge, decide_steps(cartridge, act, by, now), act.today)
        case TakeBackStep():
            return decide_taking_back(cartridge, act, by, now)
        case Look():
            return with_both_held(board, cartridge, decide_look(cartridge, act, by, now))
        case Read():
            return _with_followers(board, cartridge, decide_read(cartridge, act, by, now))
        case CorrectReading():
            refused = refuse_correction(board, cartridge)
            decided = refused or decide_correction(cartridge, act, by, now)
            return _with_followers(board, cartridge, decided)
        case Void():
            return decide_void(cartridge, act, by, now)
        case StateApplication():
            witness = board.operators.get(act.witness)
            if witness is None:
                return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.witness)
            return decide_statement(cartridge, act, by, witness, now)
        case _:
            assert_never(act)
