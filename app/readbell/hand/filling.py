"""A form is filled in, line by line, and put to the bay when it is whole."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.cartridge.events import How
from readbell.hand import (
    left_form,
    paper_form,
    patients_room,
    person_form,
    plan_form,
    stock_forms,
    telling_room,
)
from readbell.hand.asking import NOBODY, Then, asked, told
from readbell.hand.doing import Filling, Paper, Room, Visiting, Watching
from readbell.hand.finding import Thing, find
from readbell.hand.given import Chose, Given, Key, Pressed, Scanned
from readbell.hand.hand import Hand, Said, Turn, only
from readbell.hand.labelling import turn_of
from readbell.hand.papers import fault_of, questions, request_of
from readbell.hand.question import moved
from readbell.hand.visiting import things_in

if TYPE_CHECKING:
    from readbell.bay.news import Answer
    from readbell.hand.question import Question
    from readbell.hand.scene import Scene

_ROOMS = {
    Paper.DEED: Room.LOTS,
    Paper.SAMPLE: Room.SAMPLES,
    Paper.LOT: Room.LOTS,
    Paper.OPERATOR: Room.PEOPLE,
    Paper.ASSAY: Room.ASSAYS,
    Paper.TEMPERATURE: Room.TEMPERATURE,
    Paper.ROLES: Room.PEOPLE,
    Paper.RETIRE: Room.PEOPLE,
    Paper.CLEARANCE: Room.ASSAYS,
    Paper.RELEASE: Room.REVIEW,
    Paper.WITHDRAW: Room.REVIEW,
    Paper.AMEND: Room.REVIEW,
    Paper.CLOSING: Room.SHIFT,
    Paper.PLAN: Room.PLAN,
    Paper.TELL: Room.TELLING,
    Paper.AHEAD: Room.PATIENTS,
    Paper.PAPER_RUN: Room.TODAY,
}


def fill_given(hand: Hand, doing: Filling, given: Given, scene: Scene) -> Turn | None:
    """Return what becomes of `given`, or None if the board is to deal with it."""
    asked_for = questions(doing, scene)
    question = asked_for[min(doing.cursor, len(asked_for) - 1)]
    match given:
        case Pressed(key=Key.START):
            return _save(hand, doing, scene)
        case Pressed(key=Key.BACK) if doing.paper is Paper.LEFT and not is_of_room(doing):
            return only(_turn_of(hand, doing, scene))  # they are there after all
        case Pressed(key=Key.BACK) if doing.paper in (*person_form.PAPERS, Paper.LEFT):
            if is_of_room(doing):
                there = Visiting(room=Room.PATIENTS)
                return only(hand.now_doing(there).saying("Nothing saved."))
            return only(hand.now_doing(Watching()).saying("Nothing saved. Nobody was begun."))
        case Pressed(key=Key.BACK):
            return only(hand.now_doing(Visiting(room=_ROOMS[doing.paper])).saying("Nothing saved."))
        case Pressed(key=Key.LEFT | Key.RIGHT as key):
            step = 1 if key is Key.RIGHT else -1
            cursor = min(max(doing.cursor + step, 0), len(asked_for) - 1)
            return only(hand.now_doing(replace(doing, cursor=cursor)))
        case Pressed(key=Key.UP | Key.DOWN as key) if question.options:
            answer = moved(question, key)
            return only(_answered(hand, doing, question.key, answer or "", scene, stays=True))
        case Chose(question=key, answer=answer) if _may_be(asked_for, key, answer):
            return only(_answered(hand, doing, key, answer, scene, stays=True))
        case Scanned(text=text) if _is_badge(text, question.key, scene):
            return only(replace(hand, operator=text).saying(f"{text} acts now.", fine=True))
        case Scanned(text=text) if not question.options:
            fault = fault_of(question.key, text, scene)
            if fault is None and doing.paper is Paper.PARTICULAR:
                fault = patients_room.fault_of(dict(doing.answers), text)
            if fault is None and doing.paper in stock_forms.PAPERS:
                fault = stock_forms.fault_of(doing, question.key, text, scene)
            if fault is None and doing.paper is Paper.PAPER_RUN:
                fault = paper_form.fault_of(dict(doing.answers), question.key, text, scene)
            if fault is not None:
                return only(hand.saying(fault, fine=False))
            if question.key == telling_room.BACK:
                said = (telling_room.BACK_BY, str(given.how))
                doing = replace(doing, answers=(*doing.answers, said))
            return only(_answered(hand, doing, question.key, text, scene, stays=False))
        case Scanned(text=text) if _is_among(text, question, scene):
            return only(_answered(hand, doing, question.key, text, scene, stays=False))
        case Scanned():
            return only(hand.saying("Choose with Up and Down, then Right.", fine=False))
        case _:
            return None


def _answered(
    hand: Hand, doing: Filling, key: str, answer: str, scene: Scene, *, stays: bool
) -> Hand:
    keys = [each.key for each in questions(doing, scene)]
    answers = (*(each for each in doing.answers if each[0] != key), (key, answer))
    place = keys.index(key)
    changed = replace(
        doing, answers=answers, cursor=place if stays else _onward(place, answers, keys)
    )
    return hand.now_doing(changed)


def _may_be(asked_for: tuple[Question, ...], key: str, answer: str) -> bool:
    return any(
        each.key == key and answer in {option.value for option in each.options}
        for each in asked_for
    )


def _is_badge(text: str, key: str, scene: Scene) -> bool:
    """Say whether a badge was scanned where a badge is no answer: then its owner acts."""
    return (
        key not in ("operator", "leaver", "name", "born", "said", "ran", "witness")
        and find(scene.board, text).thing is Thing.OPERATOR
    )


def _is_among(text: str, question: Question, scene: Scene) -> bool:
    """Say whether a badge or a box was scanned that is one of the answers: it is meant then."""
    is_one = text in {option.value for option in question.options}
    return is_one and find(scene.board, text).thing in (Thing.OPERATOR, Thing.LOT)


def _onward(place: int, answers: tuple[tuple[str, str], ...], keys: list[str]) -> int:
    """Return the next line that is open, or the last one reached."""
    done = {key for key, _ in answers}
    return next((n for n in range(place + 1, len(keys)) if keys[n] not in done), place)


def _save(hand: Hand, doing: Filling, scene: Scene) -> Turn:
    missing = {n: each.asks for n, each in enumerate(questions(doing, scene)) if each.is_open}
    if missing:
        # What is typed next is the answer to what was just named.
        hand = hand.now_doing(replace(doing, cursor=min(missing)))
        words = f"Not saved. Still open: {'; '.join(missing.values())}."
        return only(hand.saying(words, fine=False))
    if dict(doing.answers).get("checked") == "no":
        words = "Check every figure against the kit's instructions first. Nothing saved."
        return only(hand.saying(words, fine=False))
    if hand.operator is None and scene.board.operators:
        return only(hand.saying(NOBODY, fine=False))
    if doing.paper is Paper.PLAN:
        fault = plan_form.fault_of_plan(dict(doing.answers), scene)
        if fault is not None:
            return only(hand.saying(fault, fine=False))
    return asked(hand, request_of(doing, hand.operator, scene), _saved(doing))


def is_of_room(doing: Filling) -> bool:
    """Say whether a form about a person was opened in the room of patients."""
    return left_form.ROOM in dict(doing.answers)


def _goes_on(hand: Hand, doing: Filling, said: Said, scene: Scene) -> Hand:
    """Return the hand as the person's turn goes on, or is over: there is no consent, or they left."""
    answers = dict(doing.answers)
    if is_of_room(doing):
        return hand.now_doing(Visiting(room=Room.PATIENTS, cursor=_place(doing, scene)), said)
    if doing.paper is Paper.LEFT or answers.get("giver", "").startswith(person_form.NO):
        return hand.now_doing(Watching(), said)
    return _turn_of(hand, doing, scene)


def _turn_of(hand: Hand, doing: Filling, scene: Scene) -> Hand:
    """Return the hand in the turn that the form came before, or broke into."""
    answers = dict(doing.answers)
    person, how = answers["person"], How(answers["how"])
    # Whoever was just asked for it, and typed it, need not type it once more.
    second = answers.get("name") or answers.get("born") or answers.get("second")
    return turn_of(hand, person, how, scene, second=second, box=answers.get("box"))


def _place(doing: Filling, scene: Scene) -> int:
    """Return where in its room that stands which the form was about: it stays the chosen one."""
    said = dict(doing.answers)
    room = _ROOMS.get(doing.paper, Room.PATIENTS)
    about = {
        Room.LOTS: said.get("lot") or said.get("number"),
        Room.SAMPLES: said.get("number"),
        Room.PATIENTS: said.get("person"),
        Room.PEOPLE: said.get("operator"),
        Room.ASSAYS: said.get("assay"),
    }.get(room)
    values = [each.value for each in things_in(room, scene)] if about else []
    return values.index(about) if about in values else 0


def _concerns(doing: Filling, scene: Scene) -> str:
    """Return the label of the cartridge that the form is about; nothing if it is about none."""
    said = dict(doing.answers)
    found = scene.cartridge(said.get("cartridge"))
    named = said.get("withdrawn") or said.get("amended") or ""
    return named if found is None else found.label


def _saved(doing: Filling) -> Then:
    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        said = told(answer, scene, cartridge=_concerns(doing, scene))
        if not answer.accepted:
            return replace(hand, said=said)
        if doing.paper is Paper.LEFT:
            said = left_form.saved(answer, said)
        if doing.paper in (*person_form.PAPERS, Paper.LEFT):
            return _goes_on(hand, doing, said, replace(scene, board=answer.board))
        first = dict(doing.answers).get("operator") if hand.operator is None else hand.operator
        there = Visiting(
            room=_ROOMS[doing.paper], cursor=_place(doing, replace(scene, board=answer.board))
        )
        return replace(hand, operator=first).now_doing(there, said)

    return then
