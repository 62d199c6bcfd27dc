"""What the hand is in the middle of, said line by line; and lines that are typed, understood.

For a screen reader, a log, or a terminal that can show no board. A line that
begins with a full stop is a word to the program; everything else is a scan.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from readbell.core.board.stock import lots_on_hold
from readbell.core.cartridge.events import How
from readbell.hand import patients_room, stations_room, stepping, taking_back, telling_room
from readbell.hand.asked_now import asked_now
from readbell.hand.doing import (
    ChoosingPin,
    Figuring,
    Filling,
    Following,
    Gathering,
    Helping,
    Judging,
    Labelling,
    Leaving,
    Paper,
    Proving,
    Purpose,
    Room,
    Stepping,
    TakingBack,
    Visiting,
    Voiding,
    Watching,
)
from readbell.hand.figuring import figures_aloud
from readbell.hand.finding import Thing, find
from readbell.hand.following import STORIED
from readbell.hand.given import Chose, Faulty, Key, PointedAt, Pressed, Scanned
from readbell.hand.idle_keys import idle_keys
from readbell.hand.judging import is_closed
from readbell.hand.judging_questions import bands_seen, would_be
from readbell.hand.papers import TITLES, about
from readbell.hand.shift_room import shift_aloud
from readbell.phrases.cartridge_story import story_of
from readbell.phrases.next_start_words import say_plan, say_unknown
from readbell.phrases.of_bands import FAINT_COUNTS
from readbell.phrases.of_cartridges import OUTCOMES
from readbell.phrases.review_words import what_is_held
from readbell.phrases.staff_words import say_standing
from readbell.phrases.standing import where_all_stand
from readbell.phrases.week_words import say_week
from readbell.phrases.why_so import RIGHT_NO_MORE, WINDOW_CLOSED, why

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
    "back-in": Key.SECOND,
    "lane": Key.DONE,
    "buffer": Key.LOOK,
    "box": Key.LOOK,
    "ahead": Key.LOOK,
    "out": Key.SECOND,
    "pin": Key.LOOK,
    "roles": Key.READ,
    "tell": Key.DONE,
    "release": Key.DONE,
    "entered-anew": Key.DONE,
    "leave-apart": Key.SECOND,
    "give-up": Key.VOID,
    "withdraw": Key.VOID,
    "left": Key.VOID,
    "heard": Key.HEARD,
    "rooms": Key.ROOMS,
    "next": Key.RIGHT,
    "before": Key.LEFT,
    "story": Key.RIGHT,
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
    ".takeback  what was confirmed last on the chosen cartridge was not done; or, while people are",
    "entered, the last of them     .void  give a cartridge up     .heard  the sound rests",
    ".rooms  lots, operators, assays",
    ".lane  where a party waits, while its people are entered     .buffer  another one is used",
    ".box  at a person's turn: the pouch is from another box that stands open",
    "In the room of operators: .done the chosen one acts, .pin, .roles, .out; in that of review:",
    ".release and .withdraw; in that of tell: .tell. A PIN is typed by itself, when asked for.",
    "In the room of patients: .left whoever waits and has gone, also at their turn; .back-in: they are back.",
    "In the room of the stations: .entered-anew and .leave-apart, .give-up. .stations says who is here",
    ".choose C07  without acting on it     .story  all that was done with the chosen one",
    ".up and .down go through those that run     .story in the rooms of lots, operators, patients and",
    "results: of the chosen one; in the last, of the day, or of the person whose record is open",
    ".plan  when the next person may be begun, and what is next for each hand",
    "In the room of the figures: .start opens all of them; then .next, .start and .more change the",
    "table, what is told apart and the days, .done counts anew",
    "In the room of the plan: .start makes a batch plan and loads it, .drop drops it",
    ".board  where everything stands     .correct  an own slip     .back     .leave",
    "The kit's own instructions for use come first. A negative does not exclude infection.",
)

LEAVE_AGAIN = "Say .leave again to leave, .back to stay."

_NAMES_OF_KEYS = {
    "F2": ".start",
    "F3": ".done",
    "F4": ".look",
    "F5": ".read",
    "F6": ".more",
    "F8": ".heard",
    "F9": ".rooms",
    "F12": ".void",
    "PgDn": ".story",
    "Esc": ".back",
}
_KEY = re.compile(r"\b(F(?:2|3|4|5|6|8|9|12)|Esc|PgDn)\b")


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
        if word == "story" and isinstance(hand.doing, Visiting) and hand.doing.room in STORIED:
            key = Key.PAGE_DOWN
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


def said_aloud(
    hand: Hand, scene: Scene, *, advises: bool = True, calls: bool = True
) -> Iterator[str]:
    """Yield what is in hand and what is asked, a line each; nothing while the board is watched.

    Args:
        hand: what it is in the middle of.
        scene: what there is to see.
        advises: whether it is told how a strip is looked at.
        calls: whether it is told what is due; in an examination nothing is.
    """
    match hand.doing:
        case Judging(purpose=purpose) if purpose is not Purpose.LOOK and not advises:
            cartridge = scene.cartridge(hand.doing.cartridge)
            label = "" if cartridge is None else cartridge.label
            yield f"Reading of {label}. Say .read to save it."
        case Leaving() if not calls:
            yield LEAVE_AGAIN
        case _:
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
            scanned = f", or scan {label} again," if doing.is_named else ""
            yield f"Say .done{scanned} when it is done."
        case Labelling():
            yield from _at_label(doing, scene)
        case Gathering(persons=persons):
            yield f"{len(persons)} on the list. Scan the next, or say .start when all are here."
        case Judging(purpose=Purpose.LOOK):
            yield f"Early look at {label}. A negative means nothing yet. Say .look to save it, .back to leave it."
        case Judging():
            several = cartridge is not None and len(scene.board.assays) > 1
            which = f" {cartridge.assay.title}." if cartridge is not None and several else ""
            yield f"Reading of {label}.{which} {FAINT_COUNTS} Say .read to save it."
        case Voiding():
            yield f"Void {label}. Scan it itself, say why, then .void. Or .back to keep it."
        case TakingBack() if cartridge is not None:
            steps = taking_back.titles(doing, cartridge)
            yield f"{label}: take back {steps}. Say why, then .takeback. Or .back to keep it."
        case Visiting(room=Room.PLAN):
            yield "Room: plan. .start makes a plan, .drop drops it, .rooms for the board."
            yield from plan_aloud(scene)
        case Visiting(room=room):
            yield f"Room: {room}. .next for the next one, .rooms for the board."
            yield from _in_room(doing, scene)
        case Filling(paper=paper):
            whose = f", {found}" if (found := about(doing, scene)) else ""
            yield f"{TITLES[paper]}{whose}. Answer line by line; .start saves, .back leaves."
            if paper is Paper.ASSAY:
                yield from _figures(dict(doing.answers).get("assay"), scene)
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
        case Following(cartridge=None, told=told):
            yield from (f"  {each}" for each in told)
        case Following() if cartridge is not None:
            yield from (f"  {each}" for each in story_of(cartridge, scene.board, scene.face))
        case Figuring():
            yield from figures_aloud(doing, scene)
        case Helping():
            yield from HELP
        case Leaving():
            yield from where_all_stand(scene.board, scene.now, scene.face, masked=hand.locked)
            yield LEAVE_AGAIN
        case _:
            return


def _at_label(doing: Labelling, scene: Scene) -> Iterator[str]:
    person = doing.person
    if doing.again:
        yield f"{person} has had a cartridge. .start begins another, .back leaves it."
    elif doing.is_sample:
        yield f"Control sample {person}. Scan the cartridge's label, or say .start to take one."
    else:
        yield f"Turn of {person}. Scan the cartridge's label, or say .start to take a new one."
        if Key.VOID not in idle_keys(doing, scene):
            yield f"Has {person} gone? Say .left."
    if not doing.again and Key.LOOK not in idle_keys(doing, scene):
        yield "Is the pouch of another open box? Say .box, or scan that box."


def _figures(assay: str | None, scene: Scene) -> Iterator[str]:
    """Yield what is held against the kit's instructions before an assay is adopted."""
    yield from (f"  {said}" for each in scene.shelf if each.id == assay for said in each.figures)


def _in_room(doing: Visiting, scene: Scene) -> Iterator[str]:
    """Yield what lies in a room, a line each."""
    match doing.room:
        case Room.PEOPLE:
            keys = scene.board.operators.values()
            yield from (f"  {say_standing(scene.board, key)}" for key in keys)
        case Room.SHIFT:
            yield from (f"  {each}" for each in shift_aloud(scene))
        case Room.TELLING:
            yield from (f"  {each}" for each in telling_room.aloud(scene))
        case Room.PATIENTS:
            yield from patients_room.aloud(scene)
        case Room.REVIEW:
            yield from (f"  {each}" for each in what_is_held(scene.board, scene.face))
        case Room.FIGURES:
            held = lots_on_hold(scene.board)
            yield from (f"  {each}" for each in say_week(scene.week, held))
        case Room.STATIONS:
            yield from stations_room.aloud(scene)
        case Room.ASSAYS if scene.shelf:
            yield from _figures(scene.shelf[min(doing.cursor, len(scene.shelf) - 1)].id, scene)
        case _:
            return


def plan_aloud(scene: Scene) -> Iterator[str]:
    """Yield when the next person may be begun, and what is next for each hand."""
    found = scene.looked_ahead()
    if found is None:
        yield say_unknown(scene.board)
    else:
        yield from say_plan(found, scene.board, scene.now, scene.face)


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
    if is_closed(doing, cartridge, scene):
        yield f"  {RIGHT_NO_MORE if doing.purpose is Purpose.CORRECT else WINDOW_CLOSED}"
        return
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
