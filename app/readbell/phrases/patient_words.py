"""Those who are tested, in words: what was noted, what is missing, what an ID has to be."""

from __future__ import annotations

from typing import TYPE_CHECKING, assert_never

from readbell.core.board.leaving import GONE_ALREADY, NOBODY_WAITS, NOT_WAITING, UNKNOWN_PARTY
from readbell.core.board.patients import (
    DAY_TO_COME,
    MINOR,
    NO_SUCH_DAY,
    NOT_AHEAD,
    NOT_ALONE,
    SECOND_WRONG,
)
from readbell.core.people.events import (
    ConsentNoted,
    ConsentRefused,
    LabelledAhead,
    ParticularNoted,
    PartyNoted,
    PersonLeft,
    SymptomsNoted,
)
from readbell.core.people.particulars import (
    ConsentBy,
    ConsentHow,
    DeclineReason,
    LeaveReason,
    OfParty,
    Particular,
    ToldTo,
)
from readbell.core.policy.identifying import PatientId
from readbell.core.refusal import RefusalCode

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.people.events import PatientEvent
    from readbell.core.people.file import PersonFile
    from readbell.core.refusal import Refusal

ERASED = "erased"

PARTICULARS: dict[Particular, str] = {
    Particular.NAME: "name",
    Particular.BIRTH_DATE: "date of birth",
    Particular.CONTACT: "contact",
}
GIVERS: dict[ConsentBy, str] = {
    ConsentBy.SELF: "the person",
    ConsentBy.GUARDIAN: "a parent or guardian",
    ConsentBy.OTHER: "somebody else, as local law has it",
}
HOW_GIVEN: dict[ConsentHow, str] = {
    ConsentHow.SPOKEN: "spoken",
    ConsentHow.WRITTEN: "in writing",
    ConsentHow.ELECTRONIC: "electronically",
}
TOLD_TO: dict[ToldTo, str] = {
    ToldTo.PERSON: "the person alone",
    ToldTo.GUARDIAN: "the person, and a parent or guardian",
    ToldTo.OTHER: "the person, and somebody they named",
}
DECLINED: dict[DeclineReason, str] = {
    DeclineReason.DECLINED: "the person declined",
    DeclineReason.GUARDIAN_DECLINED: "a parent or guardian declined",
    DeclineReason.NOT_ABLE: "the person could not be asked",
    DeclineReason.OTHER: "for a reason of its own",
}
LEFT: dict[LeaveReason, str] = {
    LeaveReason.WITHOUT_A_WORD: "gone, or driven off, without a word",
    LeaveReason.COULD_NOT_WAIT: "they could not wait",
    LeaveReason.COMES_AGAIN: "they come again another time",
    LeaveReason.SENT_ELSEWHERE: "they were sent elsewhere",
    LeaveReason.ENTERED_BY_MISTAKE: "they were entered by mistake",
    LeaveReason.OTHER: "for a reason of its own",
}
TELL_ALONE = "Tell the person alone."
TESTED_ALREADY = " This person has a cartridge of this assay from today already."

_IDS: dict[PatientId, str] = {
    PatientId.ANY: "",
    PatientId.NHS_NUMBER: "an NHS number, which is ten digits without blanks",
    PatientId.LUHN: "a number with a check digit, which is digits alone",
    PatientId.MOD_37_36: "an ID with a check character, which is digits and capital letters alone",
    PatientId.PATTERN: "an ID of the form that this site uses",
}

NOT_ALLOWED: dict[str, str] = {
    NO_SUCH_DAY: "There is no such day. Write it as year, month, day: 1980-02-03.",
    DAY_TO_COME: "That day is still to come. Ask for it again, and write it as 1980-02-03.",
    MINOR: (
        "This person is too young to consent alone here. "
        "Ask a parent or guardian, and note who consented."
    ),
    GONE_ALREADY: "This person has left already, and nobody waits for them. Nothing changed.",
    NOT_WAITING: (
        "This person does not wait to be begun, so they were not noted as gone. "
        "What runs for them is given up by its own label, with a reason."
    ),
    NOBODY_WAITS: "Nobody of this party waits to be begun any more. Nothing changed.",
    UNKNOWN_PARTY: "No party is called that here. Look at what it was registered as.",
    NOT_AHEAD: (
        "Here a device is labelled at its person's turn, and no earlier. "
        "Leave the pouch shut, and label it then."
    ),
    NOT_ALONE: (
        "This test is confidential, and its result is told to the person alone. "
        "Note the consent anew, for telling the person alone."
    ),
}
"""By what the refusal is about."""


def refused_patient(refusal: Refusal) -> str | None:
    """Return the sentence for a refusal that is about a person, or None if it is not."""
    match refusal.code:
        case RefusalCode.ID_MALFORMED:
            scheme, given = _parted(refusal)
            return f"{given} is not {_IDS[scheme]}. Nobody was registered. Scan or type it again."
        case RefusalCode.ID_CHECK_FAILED:
            scheme, given = _parted(refusal)
            return (
                f"{in_groups(given, scheme)}: its last sign does not fit the others, so one was "
                "misread. Nobody was registered. Scan it again, or compare each group."
            )
        case RefusalCode.SECOND_MISSING:
            what = PARTICULARS[Particular(refusal.subject)]
            return (
                f"The {what} was not read back. Nothing was begun. "
                f"Ask the person for their {what}, and enter it with the label."
            )
        case RefusalCode.WRONG_PERSON if refusal.subject == SECOND_WRONG:
            return (
                "That is not what this person is known by. Nothing was begun. "
                "Ask them who they are, never say it for them, and enter what they say."
            )
        case RefusalCode.CONSENT_MISSING:
            return (
                f"No consent of today covers {refusal.subject}. Open no pouch. "
                "Ask, and note who consents, how, and to whom the result may be told."
            )
        case RefusalCode.CONSENT_REFUSED:
            return (
                f"There is no consent: {DECLINED[DeclineReason(refusal.subject)]}. "
                "The visit has ended. Open no pouch, unless consent is noted anew."
            )
        case _:
            return None


def in_groups(given: str, scheme: PatientId) -> str:
    """Return an ID as it is read aloud: an NHS number in groups of three, three and four."""
    if scheme is PatientId.NHS_NUMBER:
        return f"{given[:3]} {given[3:6]} {given[6:]}"
    if scheme in (PatientId.LUHN, PatientId.MOD_37_36):
        return " ".join(given[place : place + 4] for place in range(0, len(given), 4))
    return given


def tell_of_patient(event: PatientEvent, board: Board) -> str:
    """Return the line for `event`; what was entered is not repeated, only that it was."""
    if isinstance(event, PartyNoted):
        return _of_party(event, board)
    person = board.name(event.person) or ERASED
    match event:
        case LabelledAhead():
            return f"{event.label}  labelled ahead for {person}. Leave its pouch shut until their turn."
        case ParticularNoted():
            return f"{person}: {PARTICULARS[event.what]} entered."
        case ConsentNoted():
            scope = ", ".join(event.assays) or "whatever is run in this visit"
            return (
                f"{person}: consent by {GIVERS[event.giver]}, {HOW_GIVEN[event.how]}, for {scope}. "
                f"The result is for {TOLD_TO[event.told_to]}."
            )
        case ConsentRefused():
            return (
                f"{person}: NO CONSENT, {DECLINED[event.reason]}. The visit ends. "
                "Void what runs for them, and open no pouch."
            )
        case PersonLeft():
            return f"{person} has {_left(event)}"
        case SymptomsNoted():
            has = "symptoms" if event.present else "no symptoms"
            since = "" if event.onset is None else f" since {event.onset.value or ERASED}"
            return f"{person}: {has}{since}."
        case _:
            assert_never(event)


def _of_party(event: PartyNoted, board: Board) -> str:
    party = f"Party {board.name(event.party) or ERASED}"
    if event.what is OfParty.LANE:
        return f"{party} waits at {event.value.value or ERASED}."
    return f"{party}: noted."


def say_consent(known: PersonFile) -> str:
    """Return in a few words how it stands with a person's consent; nothing was said: nothing."""
    match known.consent:
        case None:
            return ""
        case ConsentRefused(reason=reason):
            return f"NO CONSENT: {DECLINED[reason]}"
        case ConsentNoted() as consent:
            return f"by {GIVERS[consent.giver]}; told to {TOLD_TO[consent.told_to]}"


def say_left_together(events: Sequence[Event]) -> str | None:
    """Return one line for several who left together; None: it was not that."""
    left = [each for each in events if isinstance(each, PersonLeft)]
    return f"{len(left)} people have {_left(left[0])}" if len(left) > 1 else None


def _left(event: PersonLeft) -> str:
    return (
        f"LEFT before anything was begun: {LEFT[event.reason]}. "
        "Nobody waits for them; no repeat is due. Whoever comes back is entered again."
    )


def say_left(event: PersonLeft) -> str:
    """Return in a few words why somebody left."""
    words = "" if event.words is None else f": {event.words.value or ERASED}"
    return f"{LEFT[event.reason]}{words}"


def say_symptoms(known: PersonFile) -> str:
    """Return in a few words whether there are symptoms; nothing was said: nothing."""
    found = known.symptoms
    if found is None:
        return ""
    since = "" if found.onset is None else f", since {found.onset.value or ERASED}"
    return f"yes{since}" if found.present else "none"


def _parted(refusal: Refusal) -> tuple[PatientId, str]:
    scheme, _, given = refusal.subject.partition(": ")
    return PatientId(scheme), given
