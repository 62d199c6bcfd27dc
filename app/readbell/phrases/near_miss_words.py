"""An act that was refused, told afterwards: what somebody tried, why it was refused, what was given.

The record keeps of it a code and what was entered, and no sentence: what the screen said then
had figures in it that are gone. So this says what holds of every act that is refused for that reason.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from readbell.core.instant import Instant, Span
from readbell.core.refusal import RefusalCode
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.board.events import ActRefused
    from readbell.phrases.clock_time import ClockFace

ERASED = "What was entered with it is erased."
TO: dict[str, str] = {
    "adopt-assay": "to adopt an assay",
    "amend-result": "to amend its result",
    "answer": "to answer a question",
    "begin-box": "to begin a box",
    "begin-practice": "to begin to practise",
    "close-shift": "to close the shift",
    "correct-lot": "to correct a lot",
    "correct-reading": "to mend a slip in its reading",
    "count-units": "to count what is left of a lot",
    "describe-lot": "to describe a lot",
    "drop-plan": "to drop the plan",
    "enter-paper": "to enter a run on paper",
    "erase-records": "to erase somebody from the record",
    "fail-thermometer": "to give a thermometer up",
    "give-up-station": "to give a station up",
    "hear-alert": "to mark its alarm as heard",
    "hold-lot": "to put a lot on hold",
    "label": "to label it",
    "label-ahead": "to label a device ahead",
    "note-left": "to note that somebody has left",
    "leap-ahead": "to leap ahead",
    "load-plan": "to load a plan",
    "lock-station": "to lock the station",
    "look": "an early look",
    "lose-units": "to take lost units off a lot",
    "mute": "to mute the sound",
    "note-act": "to note an act",
    "note-consent": "to note consent",
    "note-export": "to export",
    "note-party": "to note something of a party",
    "note-person": "to note something of a person",
    "note-symptoms": "to note symptoms",
    "note-temperature": "to note a temperature",
    "open-lot": "to open a box of a lot",
    "open-record": "to open somebody's history",
    "open-sample": "to open a control material",
    "open-shift": "to open a shift",
    "open-trace": "to look into the record",
    "put-back": "to put a box back into the cold",
    "read": "to read it",
    "read-unverified": "to read it without signing in",
    "recall-lot": "to call a lot back",
    "receive-box": "to receive a box",
    "receive-lot": "to receive a lot",
    "receive-sample": "to receive a control material",
    "refuse-consent": "to note that consent was refused",
    "register-operator": "to register an operator",
    "register-party": "to register a party",
    "register-person": "to register a person",
    "release-lot": "to release a lot",
    "release-reading": "to release its reading",
    "retire-operator": "to retire an operator",
    "set-pin": "to set a PIN",
    "set-roles": "to give roles",
    "set-speed": "to set the speed",
    "settle-apart": "to settle what was kept apart",
    "sign-day-sheet": "to sign a day sheet",
    "sign-in": "to sign in",
    "sign-out": "to sign out",
    "state-application": "to state when it had its drops",
    "state-competence": "to clear somebody for an assay",
    "step": "to confirm a step",
    "steps": "to confirm several steps together",
    "take-back-step": "to take back what was confirmed",
    "take-out": "to take a box out of the cold",
    "tell": "to note who was told",
    "test-alarm": "to test the alarm",
    "unlock-operator": "to unlock an operator",
    "unmute": "to bring the sound back",
    "use-buffer": "to use another buffer",
    "void": "to give it up",
    "withdraw-result": "to withdraw its result",
    "write-archive": "to write an archive",
}
"""What was tried, by the name under which it is recorded."""
WHY: dict[RefusalCode, str] = {
    RefusalCode.UNKNOWN_OPERATOR: "no such operator was registered here",
    RefusalCode.UNKNOWN_CARTRIDGE: "no such cartridge ran here",
    RefusalCode.UNKNOWN_PERSON: "nobody with that ID was registered here",
    RefusalCode.UNKNOWN_LOT: "no such lot had been received here",
    RefusalCode.WRONG_CARTRIDGE: "another cartridge was scanned",
    RefusalCode.WRONG_PERSON: "what was read back is not of the person it is for",
    RefusalCode.LABEL_IN_USE: "the label was taken already",
    RefusalCode.LOT_ON_HOLD: "the lot was on hold",
    RefusalCode.LOT_EXPIRED: "the lot was past its last day",
    RefusalCode.LOT_USED_UP: "the lot had no unit left",
    RefusalCode.ALREADY_READ: "it had been read, and a reading stays",
    RefusalCode.ALREADY_ENDED: "it had ended",
    RefusalCode.OUT_OF_ORDER: "that was not its turn",
    RefusalCode.WAIT_NOT_OVER: "its wait was not over",
    RefusalCode.TOO_EARLY: "it was too early",
    RefusalCode.EARLY_NEGATIVE: "no test line was seen, and a negative counts in the window alone",
    RefusalCode.EARLY_NO_CONTROL: "no control line was seen, and it might still come",
    RefusalCode.WINDOW_CLOSED: "its window had closed, so it is a late look and no result",
    RefusalCode.BAD_BANDS: "not every line was answered just once",
    RefusalCode.NOT_ALLOWED: "that was not allowed then",
    RefusalCode.NOT_ADOPTED: "the assay had not been adopted here",
    RefusalCode.ALREADY_KNOWN: "that was known already",
    RefusalCode.NOT_SAVED: "nothing new could be saved",
    RefusalCode.RECORD_BROKEN: "the record was broken",
    RefusalCode.NOT_SIGNED_IN: "nobody was signed in",
    RefusalCode.PIN_WANTED: "a PIN was wanted",
    RefusalCode.WRONG_PIN: "the PIN was wrong",
    RefusalCode.PIN_TOO_SOON: "the PIN was tried again too soon",
    RefusalCode.LOCKED_OUT: "they were locked out",
    RefusalCode.ROLE_MISSING: "they had not the role for it",
    RefusalCode.NOT_COMPETENT: "they were not cleared for the assay",
    RefusalCode.LOT_TWO_EXPIRIES: "the lot was received with another last day",
    RefusalCode.BOX_OF_ANOTHER_ASSAY: "the box is of another assay",
    RefusalCode.BOX_OPENED_TOO_LONG: "the box had been open for too long",
    RefusalCode.KIT_COLD: "the kit was still cold",
    RefusalCode.CONTROLS_DUE: "control samples were overdue",
    RefusalCode.OUT_OF_TEMPERATURE: "the bay was too warm or too cold",
    RefusalCode.NO_SHIFT: "no shift was open",
    RefusalCode.STILL_RUNNING: "something was still running",
    RefusalCode.UNKNOWN_SAMPLE: "no such control material had been received here",
    RefusalCode.SAMPLE_EXPIRED: "the control material was past its last day",
    RefusalCode.ID_MALFORMED: "that is no ID of this site's form",
    RefusalCode.ID_CHECK_FAILED: "the ID's check digit was wrong",
    RefusalCode.SECOND_MISSING: "the second identifier was not read back",
    RefusalCode.CONSENT_MISSING: "nobody had noted consent",
    RefusalCode.CONSENT_REFUSED: "consent had been refused",
    RefusalCode.REPEAT_LIMIT: "the person had had every repeat that the site gives",
    RefusalCode.ALONE: "the station was alone",
    RefusalCode.HELD_ELSEWHERE: "it was in hand at another station",
}


def say_near_miss(event: ActRefused, board: Board) -> str:
    """Return what was tried and why it was refused; what was given with it is told behind."""
    label = _label(event, board)
    tried = TO.get(event.act, f"the act {event.act}")
    words = f"near miss: tried {tried}, refused: {WHY[event.code]}."
    return f"{label}  {words}" if label else f"N{words[1:]}"


def say_given(event: ActRefused, board: Board, face: ClockFace) -> str:
    """Return what was typed, scanned or read back for it, in words; nothing where it was nothing."""
    if event.entered is None:
        return ""
    text = event.entered.value
    if text is None:
        return ERASED
    given = _parsed(text)
    if given is None:
        return f"Given: {text}."
    found = None if event.cartridge is None else board.cartridge(event.cartridge)
    said = ", ".join(_each(event, given, None if found is None else found.assay, face))
    return f"Given: {said}." if said else ""


def _parsed(text: str) -> dict[str, Any] | None:
    try:
        found = json.loads(text)
    except ValueError:
        return None
    return found if isinstance(found, dict) else None


def _label(event: ActRefused, board: Board) -> str:
    """Return what the cartridge is called that was meant; nothing: none was, or it is erased."""
    found = None if event.cartridge is None else board.cartridge(event.cartridge)
    if found is not None:
        return found.label
    text = None if event.entered is None else event.entered.value
    named = (_parsed(text or "") or {}).get("cartridge")
    return named if isinstance(named, str) else ""


def _each(
    event: ActRefused, given: dict[str, Any], assay: Assay | None, face: ClockFace
) -> Iterator[str]:
    """Yield each thing that was given, in the order in which it is asked for at the bench."""
    ways: dict[str, Callable[[Any], str]] = {
        "by": lambda said: "" if event.by is not None else f"by {said}",
        "cartridge": lambda _: "",  # it stands before the line
        "scanned": lambda said: f"scanned {said}",
        "person": lambda said: f"person {said}",
        "second": lambda said: f"second identifier {said}",
        "step": lambda said: f"step {_step(said, assay)}",
        "steps": lambda said: f"steps {' and '.join(_step(each, assay) for each in _listed(said))}",
        "done_at": lambda said: f"done at {_at(said, face)}",
        "give_or_take": lambda said: f"give or take {_span(said)}" if said else "",
        "span": lambda said: f"for {_span(said)}",
        "reason": lambda said: f"reason {_code(said)}",
        "roles": lambda said: f"roles {', '.join(map(str, _listed(said)))}",
    }
    for name in (*ways, *(each for each in given if each not in ways)):
        said = given.get(name)
        if said is not None and said != "":
            words = ways[name](said) if name in ways else f"{_code(name)} {said}"
            if words:
                yield words


def _listed(said: Any) -> list[Any]:
    return said if isinstance(said, list) else [said]


def _code(said: Any) -> str:
    return str(said).replace("-", " ").replace("_", " ")


def _step(key: Any, assay: Assay | None) -> str:
    step = None if assay is None else assay.step(str(key))
    return str(key) if step is None else step.title


def _at(said: Any, face: ClockFace) -> str:
    try:
        return face.time(Instant(said)) if isinstance(said, int) else str(said)
    except (OverflowError, ValueError):  # a number that is no instant
        return str(said)


def _span(said: Any) -> str:
    return write_span(Span(said)) if isinstance(said, int) else str(said)
