"""People who come together: entered once, in order; nothing is opened or labelled yet."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.patient_ids import fault_of_id
from readbell.core.cartridge.events import How
from readbell.core.policy.identifying import PatientId
from readbell.hand.asking import NOBODY, NOT_SAVED, asked, stay, told
from readbell.hand.doing import Gathering, Watching
from readbell.hand.finding import Thing, find, held_in
from readbell.hand.given import Given, Key, Pressed, Scanned
from readbell.hand.hand import Hand, Said, Turn, only
from readbell.hand.labelling import turn_of
from readbell.hand.second import asked_of_patients
from readbell.phrases.patient_words import PARTICULARS
from readbell.scenarios.line import MOST_NAMES, PartyLine
from readbell.scenarios.patient_lines import PersonLine

if TYPE_CHECKING:
    from readbell.bay.news import Answer
    from readbell.hand.scene import Scene

LEAST_LETTERS = 2
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
LEAVES = "Whoever leaves before it: F9, Patients, F12."
BEGIN = "Scan each person in the order of swabbing. F2 when all are here."


def begin(hand: Hand, scene: Scene) -> Hand:
    """Return the hand that has begun to gather people, or says what is missing for that."""
    if hand.operator is None:
        return hand.saying(NOBODY, fine=False)
    if not scene.saves:
        return hand.saying(NOT_SAVED, fine=False)
    no_box = "" if scene.board.open_boxes else " No box is open yet: scan its lot before the first."
    return hand.choosing(None, How.PICKED).now_doing(Gathering()).saying(f"{BEGIN}{no_box}")


def gather_given(hand: Hand, doing: Gathering, given: Given, scene: Scene) -> Turn | None:
    """Return what becomes of `given`, or None if the board is to deal with it."""
    match given:
        case Pressed(key=Key.START):
            return _register(hand, doing, scene)
        case Pressed(key=Key.SECOND):
            return only(_take_back(hand, doing))
        case Pressed(key=Key.DONE):
            words = "Where do they wait? Type it, such as lane 2; then go on with the people."
            return only(hand.now_doing(replace(doing, asks_lane=True)).saying(words))
        case Scanned() if doing.asks_lane and _is_lane(given, scene):
            placed = replace(doing, lane=given.text, asks_lane=False)
            words = f"They wait at {given.text}. {BEGIN}"
            return only(hand.now_doing(placed).saying(words, fine=True))
        case Scanned() if hand.operator is not None and _is_no_number(given.text, scene):
            # The bay refuses it, says why, and keeps the near miss.
            line = PersonLine(do="register-person", by=hand.operator, id=given.text)
            return asked(hand, line, stay())
        case Scanned():
            return only(_add(hand, doing, given, scene))
        case _:
            return None


def _add(hand: Hand, doing: Gathering, given: Scanned, scene: Scene) -> Hand:
    found = find(scene.board, given.text)
    if found.thing is Thing.OPERATOR and hand.operator is None:
        # They were told to scan their badge; the list must not be lost over it.
        return replace(hand, operator=found.text).saying(f"{found.text} acts now.", fine=True)
    if found.thing not in (Thing.PERSON, Thing.UNKNOWN):
        what = (
            "two labels at once"
            if found.thing is Thing.TWO_IN_ONE
            else f"a known {found.thing}, not a person"
        )
        return hand.saying(f"{found.text} is {what}. Nobody was added.", fine=False)
    if _is_no_person(found.text):
        return hand.saying(f'"{found.text}" is no patient ID. Nobody was added.', fine=False)
    if found.thing is Thing.UNKNOWN and _is_name(given, scene):
        return hand.saying(_id_wanted(given.text, doing, scene), fine=False)
    if found.text in doing.persons:
        return hand.saying(f"{found.text} is on the list already.", fine=False)
    other = held_in(found.text, doing.persons)
    if other is not None:
        words = (
            f"{found.text} holds {other}, who is on the list: two labels at once. "
            "Nobody was added. Scan one."
        )
        return hand.saying(words, fine=False)
    if len(doing.persons) == MOST_NAMES:
        words = f"The list is full with {MOST_NAMES}: F2 enters them. {found.text} was not added."
        return hand.saying(words, fine=False)
    persons = (*doing.persons, found.text)
    by_hand = frozenset((found.text,)) if given.how is How.TYPED else frozenset()
    changed = replace(doing, persons=persons, typed=doing.typed | by_hand, asks_lane=False)
    return hand.now_doing(changed).saying(
        f"{len(persons)}: {found.text}. Read it back. F6 takes it back, F2 when all are here.",
        fine=True,
    )


def _is_lane(given: Scanned, scene: Scene) -> bool:
    """Say whether a text says where they wait: it was typed, and is nobody's and nothing's ID."""
    typed = given.how is How.TYPED
    return typed and find(scene.board, given.text).thing in (Thing.UNKNOWN, Thing.TWO_IN_ONE)


def _is_no_number(text: str, scene: Scene) -> bool:
    """Say whether an unknown text is no ID of the scheme that the site has chosen."""
    unknown = find(scene.board, text).thing is Thing.UNKNOWN and not _is_no_person(text)
    return unknown and fault_of_id(text, scene.board.policy) is not None


def _is_name(given: Scanned, scene: Scene) -> bool:
    """Say whether a text is a name that was typed: words, and no digit among them.

    A label says what it says, so what was scanned is taken as it is; and where the site says
    what its IDs look like, that alone decides.
    """
    if given.how is not How.TYPED or scene.board.policy.patient_id is not PatientId.ANY:
        return False
    words = [each for each in given.text.split() if any(sign.isalpha() for sign in each)]
    return len(words) > 1 and not any(sign.isdigit() for sign in given.text)


def _id_wanted(name: str, doing: Gathering, scene: Scene) -> str:
    """Return what to do about a name: an ID first, be it one that is given here; then the name."""
    number = len(scene.board.persons) + len(doing.persons) + 1
    while (free := f"V-{number:02d}") in scene.board.persons or free in doing.persons:
        number += 1
    what = asked_of_patients(scene.board)
    leads = (
        "the name is noted with F9, Patients, F2."
        if what is None
        else f"their {PARTICULARS[what]} is asked for at their turn."
    )
    return (
        f'"{name}" is a name, not an ID. Nobody was added. Scan or type their ID, or give them '
        f"one, such as {free}; {leads}"
    )


def _is_no_person(text: str) -> bool:
    """Say whether a text is surely something else: a stray letter, or a day off a box."""
    return len(text) < LEAST_LETTERS or _DAY.fullmatch(text) is not None


def _take_back(hand: Hand, doing: Gathering) -> Hand:
    if not doing.persons:
        return hand.saying("Nobody is on the list yet.", fine=False)
    gone = doing.persons[-1]
    return hand.now_doing(replace(doing, persons=doing.persons[:-1])).saying(f"{gone} taken back.")


def _register(hand: Hand, doing: Gathering, scene: Scene) -> Turn:
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    if not doing.persons:
        return only(hand.saying(BEGIN, fine=False))
    if len(doing.persons) > 1 or doing.lane is not None:
        line = PartyLine(
            do="register-party",
            by=hand.operator,
            id=f"party {len(scene.board.parties) + 1}",
            persons=doing.persons,
            lane=doing.lane,
        )
        return asked(hand, line, _party_registered)
    (person,) = doing.persons
    how = How.TYPED if person in doing.typed else How.SCANNED
    if person in scene.board.persons:
        return only(turn_of(hand, person, how, scene))

    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        if not answer.accepted:
            return replace(hand, said=told(answer, scene))
        return turn_of(hand, person, how, replace(scene, board=answer.board))

    return asked(hand, PersonLine(do="register-person", by=hand.operator, id=person), then)


def _party_registered(hand: Hand, answer: Answer, scene: Scene) -> Hand:
    if not answer.accepted:
        return replace(hand, said=told(answer, scene))
    doing = hand.doing
    first = doing.persons[0] if isinstance(doing, Gathering) else ""
    words = (
        f"Entered. First: {first}. Scan their ID when it is their turn; open no pouch before. "
        f"{LEAVES}"
    )
    return hand.now_doing(Watching(), Said(words, fine=True))
