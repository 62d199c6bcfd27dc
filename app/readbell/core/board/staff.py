"""Whether roles, PINs and clearances may be given, somebody may sign in, a record be opened."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice
from typing import TYPE_CHECKING, assert_never

from readbell.core.board.allowed import must_sign_in
from readbell.core.board.layered import newest
from readbell.core.board.patients_today import OVERNIGHT
from readbell.core.board.subjects import is_behind
from readbell.core.instant import earlier
from readbell.core.policy.staffing import SignInBy
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.staff.acts import (
    GiveRoles,
    LockStation,
    OpenRecord,
    PinCheck,
    RetireOperator,
    SetPin,
    SignIn,
    SignOut,
    StateCompetence,
    UnlockOperator,
)
from readbell.core.staff.events import (
    CompetenceStated,
    OperatorRetired,
    OperatorUnlocked,
    PinSet,
    Proof,
    RecordOpened,
    RolesGiven,
    SignedIn,
    SignedOut,
    StationLocked,
)
from readbell.core.staff.pins import refuse_attempt
from readbell.core.staff.roles import Role

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.staff.acts import StaffAct
    from readbell.core.staff.events import StaffEvent
    from readbell.core.staff.roster import Roster

SEEN_AT_MOST = 300
"""Of all that anybody may look at, so many are shown unless a person is asked for."""
NO_ROLE = "no role"
LAST_SUPERVISOR = "last supervisor"
OWN_CLEARANCE = "own clearance"
OWN_LOCK = "own lock"
NONE_SET = "none set"
"""A PIN is asked for, and the operator has none."""


def decide_staff(board: Board, act: StaffAct, now: Instant) -> tuple[StaffEvent] | Refusal:
    """Judge an act about those who work here; whether its doer may was asked before."""
    if isinstance(act, LockStation):
        return (StationLocked(at=now),)
    by = board.operators.get(act.by)
    if by is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    match act:
        case SignIn():
            return _sign_in(board, act, by, now)
        case SignOut():
            # To sign out twice does no harm.
            return (SignedOut(at=now, operator=by),)
        case OpenRecord():
            return _open(board, act, by, now)
        case _:
            return _about_another(board, act, by, now)


def attempts_that_lock(board: Board) -> int:
    """Return how many wrong PINs lock somebody out; 0: none, as nobody is there to unlock them."""
    return 0 if board.roster.is_single else board.policy.pin_attempts


def sees_back_to(board: Board, by: str, since: Instant) -> Instant | None:
    """Return how far back the operator `by` may see; None: everything on record.

    Args:
        board: the bay.
        by: key of the operator.
        since: where the day began, where no shift runs; what is older is for supervisors.
    """
    return None if board.roster.has_role(by, Role.SUPERVISOR) else _work_began(board, since)


def seen_back_to(board: Board, by: str | None, since: Instant) -> Instant | None:
    """Return how far back whoever is before the screen may see; None: everything on record.

    Args:
        board: the bay.
        by: an operator's ID; None: nobody said who they are. Where there are roles such a one
            sees the running shift alone.
        since: where the day began, where no shift runs.
    """
    key = None if by is None else board.operators.get(by)
    if key is not None:
        return sees_back_to(board, key, since)
    return _work_began(board, since) if board.roster.has_roles else None


def _work_began(board: Board, day_began: Instant) -> Instant:
    shift = board.shift_book.since
    return day_began if shift is None else shift


def history_since(board: Board, person: str, since: Instant | None) -> tuple[Cartridge, ...]:
    """Return the cartridges of the person with this key that were labelled from `since` on."""
    known = (board.cartridge(each) for each in board.history.get(person, ()))
    return tuple(
        each for each in known if each is not None and (since is None or each.labelled.at >= since)
    )


def results_seen(
    board: Board, by: str | None, since: Instant, person: str | None = None
) -> tuple[Cartridge, ...]:
    """Return the ended cartridges with a result, withdrawn ones too, that `by` may look at.

    They come in the order in which they ended; of very many those `SEEN_AT_MOST` that ended last.

    Args:
        board: the bay.
        by: an operator's ID; None: nobody said who they are.
        since: where the day began, where no shift runs.
        person: only those of the person with this ID.
    """
    back_to = seen_back_to(board, by, since)
    if person is not None:
        subject = board.persons.get(person)
        theirs = () if subject is None else history_since(board, subject, back_to)
        return tuple(each for each in theirs if each.has_ended and _has_result(each))
    found = islice(_lately(board, back_to), SEEN_AT_MOST)
    return tuple(reversed([*found]))


def _lately(board: Board, back_to: Instant | None) -> Iterator[Cartridge]:
    """Yield what has ended with a result and was labelled from `back_to` on, the latest first."""
    for each in newest(board.ended):
        if back_to is not None and is_behind(board, each.last_act, earlier(back_to, OVERNIGHT)):
            return  # by its last act: one that was left over for days may end among those of today
        if _has_result(each) and (back_to is None or each.labelled.at >= back_to):
            yield each


def _has_result(cartridge: Cartridge) -> bool:
    return cartridge.outcome is not None or cartridge.withdrawn is not None


def _sign_in(board: Board, act: SignIn, by: str, now: Instant) -> tuple[SignedIn] | Refusal:
    if board.policy.sign_in is not SignInBy.PIN:
        return (SignedIn(at=now, operator=by, proof=Proof.BADGE),)
    standing = board.roster.standing(by)
    refused = refuse_attempt(standing, attempts_that_lock(board), now)
    if refused is not None:
        return replace(refused, subject=act.by)
    if not standing.has_pin or act.pin is PinCheck.NONE_ON_FILE:
        return Refusal(code=RefusalCode.PIN_WANTED, subject=NONE_SET)
    if act.pin is PinCheck.RIGHT:
        return (SignedIn(at=now, operator=by, proof=Proof.PIN),)
    wrong = act.pin is PinCheck.WRONG
    return Refusal(code=RefusalCode.WRONG_PIN if wrong else RefusalCode.PIN_WANTED, subject=act.by)


def _about_another(
    board: Board,
    act: GiveRoles | RetireOperator | SetPin | UnlockOperator | StateCompetence,
    by: str,
    now: Instant,
) -> tuple[StaffEvent] | Refusal:
    operator = board.operators.get(act.operator)
    if operator is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.operator)
    match act:
        case GiveRoles():
            return _give_roles(board, act, by, operator, now)
        case RetireOperator():
            standing = replace(board.roster.standing(operator), is_retired=True)
            if _nobody_supervises(board.roster.having(standing)):
                return Refusal(code=RefusalCode.NOT_ALLOWED, subject=LAST_SUPERVISOR)
            return (OperatorRetired(at=now, by=by, operator=operator),)
        case SetPin():
            refused = _refuse_pin(board, act, by, operator)
            return refused or (PinSet(at=now, by=by, operator=operator),)
        case UnlockOperator():
            if operator == by:
                return Refusal(code=RefusalCode.NOT_ALLOWED, subject=OWN_LOCK)
            return (OperatorUnlocked(at=now, by=by, operator=operator),)
        case StateCompetence():
            return _clear(board, act, by, operator, now)
        case _:
            assert_never(act)


def _give_roles(
    board: Board, act: GiveRoles, by: str, operator: str, now: Instant
) -> tuple[RolesGiven] | Refusal:
    if not act.roles:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=NO_ROLE)
    roles = tuple(each for each in Role if each in act.roles)
    standing = replace(board.roster.standing(operator), roles=roles)
    if _nobody_supervises(replace(board.roster.having(standing), has_roles=True)):
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=LAST_SUPERVISOR)
    return (RolesGiven(at=now, by=by, operator=operator, roles=roles),)


def _nobody_supervises(roster: Roster) -> bool:
    return not roster.supervisors()


def _refuse_pin(board: Board, act: SetPin, by: str, operator: str) -> Refusal | None:
    """Say why `by` may not set this PIN.

    Where nobody has a PIN yet nobody could sign in by one: then each may set their own.
    """
    is_first = not any(each.has_pin for each in board.roster.standings.values())
    if must_sign_in(board, by) and not (is_first and operator == by):
        return Refusal(code=RefusalCode.NOT_SIGNED_IN, subject=act.by)
    if operator != by and not board.roster.has_role(by, Role.SUPERVISOR):
        return Refusal(code=RefusalCode.ROLE_MISSING, subject=Role.SUPERVISOR)
    return None


def _clear(
    board: Board, act: StateCompetence, by: str, operator: str, now: Instant
) -> tuple[CompetenceStated] | Refusal:
    if board.assay_called(act.assay) is None:
        return Refusal(code=RefusalCode.NOT_ADOPTED, subject=act.assay)
    if operator == by and not board.roster.is_single:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject=OWN_CLEARANCE)
    return (
        CompetenceStated(
            at=now,
            by=by,
            operator=operator,
            assay_id=act.assay,
            until=act.until,
            vision_checked=act.vision_checked,
            own=operator == by,
            practised=act.practised,
        ),
    )


def _open(board: Board, act: OpenRecord, by: str, now: Instant) -> tuple[RecordOpened] | Refusal:
    person = board.persons.get(act.person)
    if person is None:
        return Refusal(code=RefusalCode.UNKNOWN_PERSON)
    since = sees_back_to(board, by, act.since)
    if board.history.get(person) and not history_since(board, person, since):
        return Refusal(code=RefusalCode.ROLE_MISSING, subject=Role.SUPERVISOR)
    return (RecordOpened(at=now, by=by, person=person, what=act.what, since=since),)
