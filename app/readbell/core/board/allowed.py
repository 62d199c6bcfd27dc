"""Whether somebody may act at all: signed in, and with the role that the act needs.

It is asked before an act is judged, and only of those who are registered. What
concerns a cartridge that runs is never stopped here, nor is what stops a sound or
a lot: `holding` marks the reading instead.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.acts import (
    AdoptAssay,
    HearAlert,
    HoldLot,
    MuteSound,
    RegisterOperator,
    RegisterParty,
    RegisterPerson,
    TryAlarm,
    Unmute,
)
from readbell.core.cartridge.acts import (
    CorrectReading,
    DoStep,
    DoSteps,
    Label,
    Look,
    Read,
    StateApplication,
    TakeBackStep,
)
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.climate.acts import NoteTemperature
from readbell.core.exports.acts import NoteExport
from readbell.core.keeping.acts import EraseRecords, WriteArchive
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
from readbell.core.policy.staffing import SignInBy
from readbell.core.practice.acts import AnswerInterruption
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.acts import AmendResult, ReleaseReading, WithdrawResult
from readbell.core.shift.acts import SignDaySheet
from readbell.core.staff.acts import (
    GiveRoles,
    LockStation,
    RetireOperator,
    SetPin,
    SignIn,
    SignOut,
    StateCompetence,
    UnlockOperator,
)
from readbell.core.staff.roles import Role
from readbell.core.stations.acts import GiveUpStation, SettleApart
from readbell.core.stock.acts import RecallLot, ReleaseLot, UseBuffer

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.board.acts import Act
    from readbell.core.board.board import Board

ALWAYS = frozenset(
    {
        DoStep,
        DoSteps,
        TakeBackStep,
        Look,
        Read,
        ReadUnverified,
        CorrectReading,
        StateApplication,
        HearAlert,
        MuteSound,
        Unmute,
        TryAlarm,
        HoldLot,
        RefuseConsent,
        RecallLot,
        UseBuffer,
        SignIn,
        SignOut,
        LockStation,
        SetPin,
        NoteTemperature,
        AnswerInterruption,
    }
)
"""Acts for which nobody has to be signed in; a PIN is set by a rule of its own."""

NEEDS: Mapping[type, Role] = {
    Label: Role.TESTER,
    RegisterPerson: Role.TESTER,
    RegisterParty: Role.TESTER,
    NoteParticulars: Role.TESTER,
    NoteConsent: Role.TESTER,
    NoteSymptoms: Role.TESTER,
    NoteParty: Role.TESTER,
    LabelAhead: Role.TESTER,
    NoteLeft: Role.TESTER,
    EnterPaperRun: Role.TESTER,
    AdoptAssay: Role.SUPERVISOR,
    RegisterOperator: Role.SUPERVISOR,
    GiveRoles: Role.SUPERVISOR,
    RetireOperator: Role.SUPERVISOR,
    UnlockOperator: Role.SUPERVISOR,
    StateCompetence: Role.SUPERVISOR,
    ReleaseLot: Role.SUPERVISOR,
    ReleaseReading: Role.SUPERVISOR,
    WithdrawResult: Role.SUPERVISOR,
    AmendResult: Role.SUPERVISOR,
    SignDaySheet: Role.SUPERVISOR,
    WriteArchive: Role.SUPERVISOR,
    EraseRecords: Role.SUPERVISOR,
    NoteExport: Role.SUPERVISOR,
    GiveUpStation: Role.SUPERVISOR,
    SettleApart: Role.SUPERVISOR,
}
"""The role that an act needs, where roles were given; any operator may do the others."""


def actor(act: Act) -> str | None:
    """Return who `act` says acts, as it was entered."""
    aim = getattr(act, "aim", None)
    named: str | None = getattr(act if aim is None else aim, "by", None)
    return named


def refuse_actor(board: Board, act: Act) -> Refusal | None:
    """Say why whoever acts may not do this, or None; of a stranger the act's own rules speak."""
    by = actor(act)
    key = None if by is None else board.operators.get(by)
    if by is None or key is None:
        return None
    if type(act) not in ALWAYS and must_sign_in(board, key):
        return Refusal(code=RefusalCode.NOT_SIGNED_IN, subject=by)
    role = NEEDS.get(type(act))
    if role is not None and not board.roster.has_role(key, role):
        return Refusal(code=RefusalCode.ROLE_MISSING, subject=role)
    return None


def must_sign_in(board: Board, key: str) -> bool:
    """Say whether the operator `key` would have to sign in first."""
    if board.policy.sign_in is SignInBy.NONE:
        return False
    return not board.roster.standing(key).is_signed_in


def may_hear_unsigned(board: Board) -> bool:
    """Say whether a sound may be marked as heard by nobody in particular.

    Where people sign in the station may be locked, and an alarm must rest all the same.
    """
    return board.policy.sign_in is not SignInBy.NONE or board.policy.idle_lock_minutes > 0
