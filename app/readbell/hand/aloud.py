"""What the hand is in the middle of, said line by line; and lines that are typed, understood.

For a screen reader, a log, or a terminal that can show no board. A line that
begins with a full stop is a word to the program; everything else is a scan.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from readbell.core.cartridge.events import How
from readbell.hand import patients_room, stepping
from readbell.hand.asked_now import asked_now
from readbell.hand.doing import (
    ChoosingPin,
    Filling,
    Gathering,
    Helping,
    Judging,
    Labelling,
    Leaving,
    Proving,
    Purpose,
    Room,
    Stepping,
    Visiting,
    Voiding,
    Watching,
)
from readbell.hand.finding import Thing, find
from readbell.hand.given import Chose, Faulty, Key, PointedAt, Pressed, Scanned
from readbell.hand.judging_questions import bands_seen, would_be
from readbell.hand.papers import TITLES
from readbell.hand.shift_room import shift_aloud
from readbell.phrases.next_start_words import say_plan, say_unknown
from readbell.phrases.of_bands import FAINT_COUNTS
from readbell.phrases.of_cartridges import OUTCOMES
from readbell.phrases.review_words import what_is_held
from readbell.phrases.staff_words import say_standing
from readbell.phrases.standing import where_all_stand
from readbell.phrases.why_so import why

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.hand.given import Given
    from readbell.hand.hand import Hand
    from readbell.hand.question import Question
    from readbell.hand.scene import Scene

WORDS: dict[str, Key] = {
    "start": Key.START,
    "done": Key.DONE,
    "save": Key.READ,
    "read": Key.READ,
    "look": Key.LOOK,
    "earlier": Key.SECOND,
    "takeback": Key.SECOND,
    "unreadable": Key.SECOND,
    "correct": Key.SECOND,
    "nothing-heard": Key.SECOND,
    "more": Key.SECOND,
    "drop": Key.SECOND,
    "out": Key.SECOND,
    "pin": Key.LOOK,
    "roles": Key.READ,
    "release": Key.DONE,
    "withdraw": Key.VOID,
    "heard": Key.HEARD,
    "rooms": Key.ROOMS,
    "next": Key.RIGHT,
    "before": Key.LEFT,
    "up": Key.UP,
    "down": Key.DOWN,
    "page-up": Key.PAGE_UP,
    "page-down": Key.PAGE_DOWN,
    "home": Key.HOME,
    "void": Key.VOID,
    "leave": Key.LEAVE,
    "keys": Key.HELP,
    "back": Key.BACK,
}

HELP = (
    "Scan or type an ID to go on with it. Words to the program begin with a full stop:",
    ".start  people come; again when all are entered, or to take the label that is offered",
    ".done  the step that is offered was done     .earlier  it was done before; type the minutes",
    ".read  read the chosen cartridge, or save     .look  early look, or save it",
    ".control present  and so on answer one question     .unreadable  it cannot be read",
    ".void  give a cartridge up     .heard  the sound rests     .rooms  lots, people, assays, sound",
    "In the room of people: .done the chosen one acts, .pin, .roles, .out; in that of review:",
    ".release and .withdraw. A PIN is typed by itself, when it is asked for.",
    ".choose C07  without acting on it     .up and .down go through those that run",
    ".plan  when the next person may be begun, and what is next for each hand",
    "In the room of the plan: .start makes a batch plan and loads it, .drop drops it",
    ".board  where everything stands     .correct  an own slip     .back     .leave",
    "The kit's own instructions for use come first. A negative does not exclude infection.",
)


_NAMES_OF_KEYS = {
    "F2": ".start",
    "F3": ".done",
    "F4": ".look",
    "F5": ".read",
    "F6": ".more",
    "F8": ".heard",
    "F9": ".rooms",
    "F12": ".void",
    "Esc": ".back",
}
_KEY = re.compile(r"\b(F(?:2|3|4|5|6|8|9|12)|Esc)\b")


def in_words(text: str) -> str:
    """Return a sentence with each key called by the word that does the same in plain lines."""
    return _KEY.sub(lambda found: _NAMES_OF_KEYS[found[0]], text)


def understood(text: str, hand: Hand, scene: Scene) -> Given:
    """Return what a typed line gives; a scan is any line that begins with no full stop."""
    if not text.startswith("."):
        return Scanned(text, How.TYPED)
    word, _, answer = text[1:].strip().partition(" ")
    word, answer = word.lower(), answer.strip()
    if not answer:
        key = WORDS.get(word)
        if word == "save":
            key = _saves(hand)
        if key is not None:
            return Pressed(key, in_words=True)
        return Faulty(f'".{word}" is no word known here. .help lists them.')
    for question in asked_now(hand.doing, scene):
        if word in _names(question):
            return _answer(question, word, answer)
    if word == "choose":
        found = find(scene.board, answer)
        cartridge = scene.board.labelled(found.text)
        if found.thing is Thing.CARTRIDGE and cartridge is not None:
            return PointedAt(cartridge.id)
        return Faulty(f'"{answer}" is no cartridge here.')
    return Faulty(f'Nothing called "{word}" is asked now.')


def _answer(question: Question, word: str, answer: str) -> Given:
    if not question.options:
        return Faulty(f"Scan or type it by itself, without .{word} before it.")
    values = {each.value.lower(): each.value for each in question.options}
    words = {each.words.lower(): each.value for each in question.options}
    found = values.get(answer.lower()) or words.get(answer.lower())
    if found is not None:
        return Chose(question.key, found)
    return Faulty(f"Say .{word} and one of: {', '.join(values)}.")


def said_aloud(hand: Hand, scene: Scene) -> Iterator[str]:
    """Yield what is in hand and what is asked, a line each; nothing while the board is watched."""
    yield from _heading(hand, scene)
    for question in asked_now(hand.doing, scene):
        yield _asked(question)
    if isinstance(hand.doing, Judging):
        yield from _would_come_of(hand.doing, scene)


def _heading(hand: Hand, scene: Scene) -> Iterator[str]:
    doing = hand.doing
    cartridge = scene.cartridge(getattr(doing, "cartridge", None))
    label = "" if cartridge is None else cartridge.label
    match doing:
        case Stepping() if cartridge is not None:
            for step in stepping.offered(doing, cartridge):
                yield f"{label}: {step.title}. {step.instruction}"
            yield f"Say .done, or scan {label} again, when it is done."
        case Labelling(person=person, again=True):
            yield f"{person} has had a cartridge. .start begins another, .back leaves it."
        case Labelling(person=person, is_sample=True):
            yield f"Control sample {person}. Scan the cartridge's label, or say .start to take one."
        case Labelling(person=person):
            yield f"Turn of {person}. Scan the cartridge's label, or say .start to take a new one."
        case Gathering(persons=persons):
            yield f"{len(persons)} on the list. Scan the next, or say .start when all are here."
        case Judging(purpose=Purpose.LOOK):
            yield f"Early look at {label}. A negative means nothing yet. Say .look to save it, .back to leave it."
        case Judging():
            yield f"Reading of {label}. {FAINT_COUNTS} Say .read to save it."
        case Voiding():
            yield f"Void {label}. Scan it itself, say why, then .void. Or .back to keep it."
        case Visiting(room=Room.PLAN):
            yield "Room: plan. .start makes a plan, .drop drops it, .rooms for the board."
            yield from plan_aloud(scene)
        case Visiting(room=room):
            yield f"Room: {room}. .next for the next one, .rooms for the board."
            if room is Room.PEOPLE:
                keys = scene.board.operators.values()
                yield from (f"  {say_standing(scene.board, key)}" for key in keys)
            if room is Room.SHIFT:
                yield from (f"  {each}" for each in shift_aloud(scene))
            if room is Room.PATIENTS:
                yield from patients_room.aloud(scene)
            if room is Room.REVIEW:
                yield from (f"  {each}" for each in what_is_held(scene.board, scene.face))
        case Filling(paper=paper):
            yield f"{TITLES[paper]}. Answer line by line; .start saves, .back leaves."
        case Proving(operator=operator):
            yield f"PIN of {operator}: type it by itself. .back leaves it."
        case ChoosingPin(operator=operator, first=first):
            again = "" if first is None else " once more"
            yield f"New PIN of {operator}: type it{again}. .back leaves it."
        case Watching() if hand.locked:
            yield "Locked. Scan your badge, or type your ID."
        case Watching() if hand.chosen is not None:
            chosen = scene.cartridge(hand.chosen)
            if chosen is not None:
                yield f"Chosen: {chosen.label}."
        case Helping():
            yield from HELP
        case Leaving():
            board, now, face = scene.board, scene.now, scene.face
            yield from where_all_stand(board, now, face, masked=hand.locked)
            yield "Say .leave again to leave, .back to stay."
        case _:
            return


def plan_aloud(scene: Scene) -> Iterator[str]:
    """Yield when the next person may be begun, and what is next for each hand."""
    if scene.outlook is None:
        yield say_unknown(scene.board)
    else:
        yield from say_plan(scene.outlook, scene.board, scene.now, scene.face)


def _asked(question: Question) -> str:
    shown = question.words()
    said = f"  {question.asks}: {shown or 'not answered'}."
    if not question.options or (shown and not question.is_list):
        return said
    choices = ", ".join(each.value for each in question.options)
    return f"{said} Say .{question.key} and one of: {choices}."


def _would_come_of(doing: Judging, scene: Scene) -> Iterator[str]:
    cartridge = scene.cartridge(doing.cartridge)
    if cartridge is None:
        return
    outcome = would_be(doing, cartridge)
    reason = why(bands_seen(doing), outcome, is_look=doing.purpose is Purpose.LOOK)
    if reason:
        shown = "" if outcome is None else f"{OUTCOMES[outcome]}. "
        yield f"  It would be {shown}{reason}" if shown else f"  {reason}"


def _names(question: Question) -> tuple[str, ...]:
    """Return what a question may be called: its key, or the last word of what it asks."""
    return (question.key.lower(), question.asks.rsplit(" ", 1)[-1].lower())


def _saves(hand: Hand) -> Key:
    is_look = isinstance(hand.doing, Judging) and hand.doing.purpose is Purpose.LOOK
    return Key.LOOK if is_look else Key.READ
