"""A refusal in one line: what is so, why by the assay's own words, what to do now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.alarm import SUBJECTS
from readbell.core.board.entry import Do, Entry
from readbell.core.cartridge.taking_back import LABEL_ALONE, UNKNOWN_WAITS
from readbell.core.instant import Span, between
from readbell.core.made_later import dataclass
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.span_text import write_elapsed, write_left, write_span
from readbell.phrases import (
    export_words,
    keeping_words,
    paper_words,
    patient_words,
    plan_guide,
    practice_words,
    review_words,
    shift_words,
    staff_words,
    station_words,
    stock_words,
    telling_words,
)
from readbell.phrases.of_sound import refused_sound
from readbell.phrases.paper_words import refused_paper
from readbell.phrases.patient_words import refused_patient
from readbell.phrases.staff_words import refused_staff
from readbell.phrases.station_words import refused_stations

if TYPE_CHECKING:
    from readbell.core.instant import Instant
    from readbell.phrases.clock_time import ClockFace

REPEAT = "Take a fresh cartridge and a new specimen."

_FIXED: dict[RefusalCode, str] = {
    RefusalCode.UNKNOWN_OPERATOR: (
        "No operator {subject} is registered here. Sign on as somebody who is, or register first."
    ),
    RefusalCode.UNKNOWN_CARTRIDGE: (
        "No cartridge {subject} is running here. Scan it again, or label it first."
    ),
    RefusalCode.UNKNOWN_PERSON: (
        "Nobody with this ID is registered here. Read the ID again, or register the person first."
    ),
    RefusalCode.UNKNOWN_LOT: (
        "Lot {subject} was never received here. Scan the box again, or receive it first."
    ),
    RefusalCode.WRONG_CARTRIDGE: (
        "What was scanned is {subject}, not {cartridge}. Nothing saved. "
        "Scan the cartridge in your hand."
    ),
    RefusalCode.WRONG_PERSON: (
        "{cartridge} is not this person's. Nothing saved. "
        "Read the ID on the cartridge back with the person."
    ),
    RefusalCode.LABEL_IN_USE: "{subject} is taken already. Write another label on the new cartridge.",
    RefusalCode.LOT_ON_HOLD: (
        "Lot {subject} is on hold. Open a box of another lot, or ask a supervisor."
    ),
    RefusalCode.LOT_EXPIRED: "Lot {subject} is past its last day. Open a box that is in date.",
    RefusalCode.LOT_USED_UP: "Lot {subject} has no unit left. Open a new box.",
    RefusalCode.ALREADY_READ: (
        "{cartridge} has been read, and a reading stays. "
        "Only a supervisor amends it, with a reason."
    ),
    RefusalCode.ALREADY_ENDED: "{cartridge} has ended and takes no more acts. " + REPEAT,
    RefusalCode.BAD_BANDS: (
        "Not every line was answered just once. "
        "Say of the control line whether it is there, and of each test line ({subject}) how strong."
    ),
    RefusalCode.NOT_ADOPTED: (
        "Assay {subject} has not been adopted here. "
        "Check it against the kit's instructions for use, then adopt it."
    ),
    RefusalCode.ALREADY_KNOWN: "This {subject} is registered already. Nothing changed.",
    RefusalCode.NOT_SAVED: (
        "Nothing new can be saved now. Start nobody, finish what runs, "
        "and write results on paper until it says saved."
    ),
    RefusalCode.RECORD_BROKEN: (
        "The record is not what was once written, so nothing new may rest on it. Start nobody, "
        "finish what runs, write results on paper as well, and tell a supervisor."
    ),
    **stock_words.REFUSED,
    **shift_words.REFUSED,
}

_NOT_ALLOWED: dict[str, str] = {
    "early positive": (
        "A positive was seen early on {cartridge}, and what was seen stays. "
        "Read it in its window; only a supervisor withdraws a result."
    ),
    LABEL_ALONE: (
        "Of {cartridge} nothing but the label is confirmed, and a label is not taken back. "
        "If it is not to be run, void it."
    ),
    UNKNOWN_WAITS: (
        "The clock was in doubt while {cartridge} developed, so nobody knows how long it waited "
        "before its drops, and no step of it is taken back. If it never had them, void it. "
        + REPEAT
    ),
    "witness": (
        "The witness must be somebody else. Ask a second operator to look at the cartridge."
    ),
    "another reader": (
        "Somebody else read {cartridge}, and only they may mend a slip of their own. "
        "Ask them, or tell a supervisor."
    ),
    **stock_words.NOT_ALLOWED,
    **telling_words.NOT_ALLOWED,
    **export_words.NOT_ALLOWED,
    **practice_words.NOT_ALLOWED,
    "temperature": "No bay and no store is that warm or cold. Read the thermometer again.",
    "empty party": "Nobody is in this party. Name each person, in the order of their turns.",
    "person twice": (
        "Somebody stands in this party twice, so nobody was registered. "
        "Name each person once, in the order of their turns."
    ),
    **plan_guide.NOT_ALLOWED,
    **shift_words.NOT_ALLOWED,
    **staff_words.NOT_ALLOWED,
    **patient_words.NOT_ALLOWED,
    **paper_words.NOT_ALLOWED,
    **review_words.NOT_ALLOWED,
    **keeping_words.NOT_ALLOWED,
    **station_words.NOT_ALLOWED,
}
"""By what the refusal is about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What was tried, and when, as far as the sentence needs it."""

    cartridge: str
    now: Instant
    is_look: bool = False
    is_together: bool = False
    """Whether several steps were to be confirmed by one act."""
    takes_back: bool = False
    """Whether a step was to be taken back."""


def tried(entry: Entry, now: Instant) -> Tried:
    """Return what `entry` tried at `now`."""
    return Tried(
        cartridge=entry.cartridge,
        now=now,
        is_look=entry.do is Do.LOOK,
        is_together=entry.do is Do.STEPS,
        takes_back=entry.do is Do.TAKE_BACK,
    )


_DONE_ELSEWHERE = {
    "cartridge-labelled": "was labelled",
    "cartridge-read": "was read",
    "reading-corrected": "had its reading corrected",
    "step-taken-back": "had a step taken back",
    "cartridge-voided": "was given up",
    "cartridge-lapsed": "lapsed",
}
"""What else is done to a cartridge is work on it."""


def say_refusal(refusal: Refusal, what: Tried, face: ClockFace) -> str:
    """Return the sentence for `refusal` of what was tried; who was first elsewhere goes before it."""
    first = refusal.elsewhere
    if first is None:
        return _say(refusal, what, face)
    did = _DONE_ELSEWHERE.get(first.kind, "was worked on")
    by = f" by {first.by}" if first.by else ""
    words = f"{what.cartridge} {did}{by} at station {first.station} at {face.time(first.at)}"
    if refusal.code is RefusalCode.ALREADY_READ:
        return f"{words}, and a reading stays. Only a supervisor amends it, with a reason."
    return f"{words}. {_say(refusal, what, face)}"


def _say(refusal: Refusal, what: Tried, face: ClockFace) -> str:
    now = what.now
    of_people = (
        refused_staff(refusal, now, face)
        or refused_patient(refusal)
        or refused_paper(refusal)
        or refused_stations(refusal)
    )
    if of_people is not None:
        return of_people
    match refusal.code:
        case RefusalCode.UNKNOWN_OPERATOR if not refusal.subject:
            return "Nobody says who acts. Name an operator who is registered here."
        case RefusalCode.OUT_OF_ORDER:
            return _out_of_order(refusal, what, face)
        case RefusalCode.KIT_COLD:
            return stock_words.say_cold_kit(refusal, now, face)
        case RefusalCode.WAIT_NOT_OVER:
            return (
                f"{what.cartridge} has been {refusal.subject} {_elapsed(refusal)} of "
                f"{_limit(refusal)}. {_wait(refusal, now, face)}"
            )
        case RefusalCode.TOO_EARLY if what.is_look:
            return (
                f"Too early. {_since(refusal)} an early look tells nothing yet. "
                f"Look again {_from(refusal, now, face)}."
            )
        case RefusalCode.TOO_EARLY:
            return f"Too early. A reading counts {_from(refusal, now, face)}. Come back then."
        case RefusalCode.EARLY_NEGATIVE:
            return (
                "No test line yet. A negative counts only in the window, "
                f"{_from(refusal, now, face)}. Read it then."
            )
        case RefusalCode.EARLY_NO_CONTROL:
            return (
                "No control line yet. It may still come. Look again later, and read it in the "
                f"window, {_from(refusal, now, face)}."
            )
        case RefusalCode.WINDOW_CLOSED:
            return _window_closed(refusal, what)
        case RefusalCode.REPEAT_LIMIT:
            return f"This person has had every repeat that this site gives. {review_words.say_referral(refusal.subject)}"
        case RefusalCode.NOT_ALLOWED if refusal.subject in SUBJECTS:
            return refused_sound(refusal, what.cartridge)
        case RefusalCode.NOT_ALLOWED:
            return _not_allowed(refusal, what, face)
        case _:
            return _FIXED[refusal.code].format(subject=refusal.subject, cartridge=what.cartridge)


def _out_of_order(refusal: Refusal, what: Tried, face: ClockFace) -> str:
    if what.takes_back:
        return (
            f"Only what was confirmed last is taken back, and of {what.cartridge} that is: "
            f"{refusal.subject}. Nothing changed. Look at its row again."
        )
    if refusal.due is not None:
        return (
            f"That is before the last act on {what.cartridge}, at {face.time(refusal.due)}. "
            "State a later time."
        )
    if not refusal.subject:
        return f"Every step of {what.cartridge} is done. What is left is its reading."
    return f"That is not the turn of {what.cartridge}. Next: {refusal.subject}."


def _window_closed(refusal: Refusal, what: Tried) -> str:
    if refusal.subject == "unsure":
        return (
            f"The clock may have lied since {what.cartridge} had its drops. Kept as a late look, "
            "not a result. State the drops' time from the cartridge, with a witness, or repeat."
        )
    return f"The window of {what.cartridge} has closed. Kept as a late look, not a result. {REPEAT}"


def _not_allowed(refusal: Refusal, what: Tried, face: ClockFace) -> str:
    if refusal.subject in _NOT_ALLOWED:
        return _NOT_ALLOWED[refusal.subject].format(cartridge=what.cartridge)
    if refusal.limit is not None:
        return (
            f"{what.cartridge} was {refusal.subject} {_elapsed(refusal)}, and the limit is "
            f"{_limit(refusal)}. Void it. {REPEAT}"
        )
    if what.is_together and refusal.due is None:
        return (
            f"A clock hangs on this step of {what.cartridge}: {refusal.subject}. "
            "Nothing saved. Confirm the steps up to it, and what follows by itself."
        )
    if what.is_look and refusal.due is not None and what.now >= refusal.due:
        return f"The window of {what.cartridge} is open. Read it as a reading, not an early look."
    if what.is_look:
        return (
            "This assay gives no leave for an early look. "
            f"Read it in its window, {_from(refusal, what.now, face)}."
        )
    if refusal.due is not None:
        return f"{face.time(refusal.due)} is still to come. State when it was done, not when it will be."
    return f"The times of {what.cartridge} are known. Nothing needs to be stated."


def _since(refusal: Refusal) -> str:
    return f"{_elapsed(refusal)} after the drops"


def _elapsed(refusal: Refusal) -> str:
    return write_elapsed(refusal.elapsed or Span(0))


def _limit(refusal: Refusal) -> str:
    return write_span(refusal.limit or Span(0))


def _from(refusal: Refusal, now: Instant, face: ClockFace) -> str:
    if refusal.due is None:
        return "once it is open"
    return f"from {face.time_from(refusal.due)}, in {write_left(between(now, refusal.due))}"


def _wait(refusal: Refusal, now: Instant, face: ClockFace) -> str:
    if refusal.due is None or refusal.due <= now:
        return "State a time that leaves the whole wait."
    return (
        f"Wait until {face.time_from(refusal.due)}, {write_left(between(now, refusal.due))} more."
    )
