"""Those who work here, in words: roles, signing in, clearances, and why something is refused them."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.competence import UNCLEARED, UNWITNESSED
from readbell.core.board.staff import (
    LAST_SUPERVISOR,
    NO_ROLE,
    NONE_SET,
    OWN_CLEARANCE,
    OWN_LOCK,
    attempts_that_lock,
    history_since,
)
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import between
from readbell.core.policy.staffing import SignInBy
from readbell.core.refusal import RefusalCode
from readbell.core.span_text import write_left
from readbell.core.staff.events import (
    CompetenceStated,
    Opened,
    OperatorRetired,
    OperatorUnlocked,
    PinSet,
    Proof,
    RecordOpened,
    RolesGiven,
    SignedIn,
    SignedOut,
    StartSupervised,
    StationLocked,
)
from readbell.core.staff.pins import is_locked_out
from readbell.phrases.counted import counted
from readbell.phrases.of_cartridges import OUTCOMES
from readbell.phrases.review_words import say_mark

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.refusal import Refusal
    from readbell.core.staff.events import StaffEvent
    from readbell.core.staff.roles import Role
    from readbell.core.staff.roster import Cleared
    from readbell.phrases.clock_time import ClockFace

ERASED = "erased"

NOT_ALLOWED: dict[str, str] = {
    NO_ROLE: "No role was named. Name at least one: tester, reader, supervisor.",
    LAST_SUPERVISOR: (
        "Then nobody here would be a supervisor. Give somebody else that role first."
    ),
    OWN_CLEARANCE: "Nobody clears themselves where others work. Ask another supervisor.",
    OWN_LOCK: "Nobody unlocks themselves. Ask another supervisor.",
}
"""By what the refusal is about."""

_OPENED: dict[Opened, str] = {
    Opened.HISTORY: "history",
    Opened.TRACE: "trace",
    Opened.EXPORT: "export",
}


def tell_of_staff(event: StaffEvent, board: Board, face: ClockFace) -> str:
    """Return the line for `event`; `board` is as it is after it."""

    def name(key: str) -> str:
        return board.name(key) or ERASED

    match event:
        case RolesGiven():
            return f"{name(event.operator)} is now {say_roles(event.roles)}."
        case OperatorRetired():
            return f"{name(event.operator)} works here no more. What they did keeps their name."
        case PinSet():
            return f"{name(event.operator)} has a new PIN."
        case SignedIn():
            how = " with a PIN" if event.proof is Proof.PIN else ""
            return f"{name(event.operator)} signed in{how}."
        case SignedOut():
            return f"{name(event.operator)} signed out."
        case StationLocked():
            return "Locked: nobody touched it for long. Countdowns and alarms go on."
        case OperatorUnlocked():
            return f"{name(event.operator)} may sign in again."
        case CompetenceStated():
            vision = (
                ""
                if event.vision_checked is None
                else f"; faint lines and colours checked {event.vision_checked}"
            )
            own = " Own review." if event.own else ""
            rests = (
                f" It rests on {counted(len(event.practised), 'attempt')} at rehearsals."
                if event.practised
                else ""
            )
            return (
                f"{name(event.operator)} is cleared for {event.assay_id} to the end of "
                f"{event.until}{vision}.{rests}{own}"
            )
        case StartSupervised():
            return f"Started under the eyes of {name(event.witness)}."
        case RecordOpened():
            opened = f"{name(event.by)} opened the {_OPENED[event.what]} of {name(event.person)}"
            found = history_since(board, event.person, event.since)
            said = "; ".join(say_in_history(each, face) for each in found)
            return f"{opened}; that is recorded. {said or 'Nothing is on record'}."
        case _:
            assert_never(event)


def refused_staff(refusal: Refusal, now: Instant, face: ClockFace) -> str | None:
    """Return why somebody may not act or sign in; None if the refusal is about something else."""
    who = refusal.subject
    match refusal.code:
        case RefusalCode.NOT_SIGNED_IN:
            return f"{who} is not signed in. Scan the badge, or sign in, and do it again."
        case RefusalCode.PIN_WANTED if who == NONE_SET:
            return (
                "No PIN is set for this operator. A supervisor sets one in the room of operators."
            )
        case RefusalCode.PIN_WANTED:
            return f"Here {who} signs in with a PIN. Type it as well."
        case RefusalCode.WRONG_PIN:
            return f"That is not the PIN of {who}. It was recorded. Wait a moment, then try again."
        case RefusalCode.PIN_TOO_SOON if refusal.due is not None:
            left = write_left(between(now, refusal.due))
            return (
                f"A wrong PIN came before, so none is looked at yet. "
                f"Try again from {face.time_from(refusal.due)}, in {left}."
            )
        case RefusalCode.LOCKED_OUT:
            return (
                f"{who} is locked out after too many wrong PINs. A supervisor unlocks; a strip in "
                "its window can be read under a typed name."
            )
        case RefusalCode.ROLE_MISSING:
            return f"Only a {who} may do that here. Ask one to scan their badge and do it."
        case RefusalCode.NOT_COMPETENT if who == UNCLEARED:
            return (
                "You are not cleared for this assay, or no longer. "
                "Start it with a supervisor as witness, or ask somebody who is."
            )
        case RefusalCode.OUT_OF_TEMPERATURE if who == UNWITNESSED:
            return (
                "It is too cold or too warm for this assay. Start it with a supervisor as "
                "witness, or bring it back into range and note the temperature."
            )
        case RefusalCode.NOT_COMPETENT:
            return f"You are not cleared for {who}, or no longer. Ask somebody who is to start it."
        case _:
            return None


def say_in_history(cartridge: Cartridge, face: ClockFace) -> str:
    """Return one cartridge of a person's history: when it was begun, and what came of it."""
    begun = face.local(cartridge.labelled.at)
    when = f"{begun:%Y-%m-%d} {face.time(cartridge.labelled.at)}"
    mark = say_mark(cartridge)
    marked = f", {mark}" if mark else ""
    if cartridge.outcome is not None:
        return f"{cartridge.label} {when} {OUTCOMES[cartridge.outcome]}{marked}"
    stage = "void" if cartridge.stage is Stage.VOID else "read" if cartridge.has_ended else "runs"
    return f"{cartridge.label} {when} {stage}{marked}"


def say_standing(board: Board, key: str) -> str:
    """Return how one operator stands, in a line."""
    standing = board.roster.standing(key)
    parts = [board.name(key) or ERASED, say_roles(board.roster.roles_of(key))]
    parts += [say_cleared(each) for each in standing.cleared]
    parts += [each for each in (state_of(board, key),) if each]
    return "; ".join(parts)


def state_of(board: Board, key: str) -> str:
    """Return the word for how somebody stands: locked out, signed in, without a PIN."""
    standing = board.roster.standing(key)
    if standing.is_retired:
        return "works here no more"
    if is_locked_out(standing, attempts_that_lock(board)):
        return "LOCKED OUT"
    if standing.is_signed_in:
        return "signed in"
    if board.policy.sign_in is SignInBy.PIN and not standing.has_pin:
        return "no PIN"
    return ""


def say_roles(roles: Iterable[Role]) -> str:
    """Return roles in a row, as they are written."""
    return ", ".join(roles) or "without a role"


def say_cleared(cleared: Cleared) -> str:
    """Return for what somebody is cleared, until when, and when their eyes were looked at."""
    vision = "" if cleared.vision_checked is None else f", vision {cleared.vision_checked}"
    return f"{cleared.assay} to {cleared.until}{vision}"
