"""A strip is looked at: each line answered one by one, the person read back, and only then saved."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.entry import Do
from readbell.core.cartridge.at_instant import stage_at, window
from readbell.core.cartridge.correction import correctable_until
from readbell.core.cartridge.events import How, SlipReason
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.bands import Strength, Unreadable
from readbell.hand.asking import Then, asked_of, entry_on, told
from readbell.hand.doing import Judging, Purpose, Watching
from readbell.hand.finding import Thing, find
from readbell.hand.given import Chose, Given, Key, Pressed, Scanned
from readbell.hand.hand import Hand, Said, Turn, only
from readbell.hand.judging_questions import is_whole, questions
from readbell.hand.question import moved, next_open

if TYPE_CHECKING:
    from readbell.bay.news import Answer
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.hand.scene import Scene

_SAVES = {Purpose.READ: Key.READ, Purpose.CORRECT: Key.READ, Purpose.LOOK: Key.LOOK}
_DOES = {Purpose.READ: Do.READ, Purpose.LOOK: Do.LOOK, Purpose.CORRECT: Do.CORRECT}


def begin(hand: Hand, cartridge: Cartridge, purpose: Purpose, how: How) -> Hand:
    """Return the hand that looks at a strip; nothing is answered yet."""
    doing = Judging(purpose=purpose, cartridge=cartridge.id)
    return hand.choosing(cartridge.id, how).now_doing(doing)


def judge_given(hand: Hand, doing: Judging, given: Given, scene: Scene) -> Turn | None:
    """Return what becomes of `given`, or None if the board is to deal with it."""
    cartridge = scene.cartridge(doing.cartridge)
    if cartridge is None:
        return None
    match given:
        case Pressed(key=key) if key is _SAVES[doing.purpose]:
            return _save(hand, doing, cartridge)
        case Pressed(key=Key.SECOND) if doing.purpose is not Purpose.LOOK or doing.ready:
            asks = not doing.cannot_be_read
            changed = replace(
                doing, cannot_be_read=asks, control=None, lines=(), unreadable=None, cursor=0
            )
            return only(hand.now_doing(changed))
        case Pressed(key=Key.LEFT | Key.RIGHT as key):
            return only(hand.now_doing(_beside(doing, cartridge, key), hand.said))
        case Pressed(key=Key.UP | Key.DOWN as key):
            return only(_arrow(hand, doing, cartridge, key))
        case Chose(question=question, answer=answer):
            return only(_chosen(hand, doing, cartridge, question, answer))
        case Scanned():
            return _scanned(hand, doing, cartridge, given, scene)
        case _:
            return None


def ticked(hand: Hand, doing: Judging, scene: Scene) -> Hand:
    """Return the hand as time goes by: an early look never turns into a reading."""
    cartridge = scene.cartridge(doing.cartridge)
    span = None if cartridge is None else window(cartridge)
    if cartridge is None or span is None:
        return hand.now_doing(Watching(), hand.said)
    if doing.purpose is Purpose.LOOK and scene.now >= span.opens:
        words = (
            f"The window of {cartridge.label} is open: this was an early look. F5 reads it anew."
        )
        return hand.now_doing(Watching(), Said(words))
    return hand


def is_closed(doing: Judging, cartridge: Cartridge, scene: Scene) -> bool:
    """Say whether the time ran out while the form was open: what is saved now is no outcome."""
    if doing.purpose is Purpose.CORRECT:
        until = correctable_until(cartridge)
        return until is not None and scene.now > until
    return doing.purpose is Purpose.READ and stage_at(cartridge, scene.now) is Stage.LAPSED


def _beside(doing: Judging, cartridge: Cartridge, key: Key) -> Judging:
    asked_for = questions(doing, cartridge)
    step = 1 if key is Key.RIGHT else -1
    return replace(doing, cursor=min(max(doing.cursor + step, 0), len(asked_for) - 1))


def _arrow(hand: Hand, doing: Judging, cartridge: Cartridge, key: Key) -> Hand:
    asked_for = questions(doing, cartridge)
    question = asked_for[min(doing.cursor, len(asked_for) - 1)]
    if not question.options:
        return hand.saying("This is answered by a scan, or by typing and Enter.")
    answer = moved(question, key)
    return hand if answer is None else _chosen(hand, doing, cartridge, question.key, answer)


def _chosen(hand: Hand, doing: Judging, cartridge: Cartridge, key: str, answer: str) -> Hand:
    asked_for = questions(doing, cartridge)
    place = next((n for n, each in enumerate(asked_for) if each.key == key), None)
    if place is None or answer not in {each.value for each in asked_for[place].options}:
        return hand
    changed = _answered(replace(doing, cursor=place), key, answer)
    if key == "ready":
        changed = replace(changed, cursor=0)
    if key in ("control", "slip"):
        # Answered with one press: go on to what is still open.
        changed = replace(changed, cursor=next_open(questions(changed, cartridge), place))
    if changed.ready is False:
        words = "Then come back when the flow has reached the control line. Nothing is kept."
        return hand.now_doing(Watching(), Said(words))
    return hand.now_doing(changed)


def _answered(doing: Judging, key: str, answer: str) -> Judging:
    match key:
        case "ready":
            return replace(doing, ready=answer == "yes")
        case "slip":
            return replace(doing, slip=answer)
        case "unreadable":
            return replace(doing, unreadable=answer)
        case "control":
            return replace(doing, control=answer == "present")
        case line:
            others = tuple(each for each in doing.lines if each[0] != line)
            return replace(doing, lines=(*others, (line, answer)))


def _save(hand: Hand, doing: Judging, cartridge: Cartridge) -> Turn:
    if not is_whole(doing, cartridge):
        missing = [each.asks for each in questions(doing, cartridge) if each.is_open]
        return only(hand.saying(f"Not saved. Still open: {', '.join(missing)}.", fine=False))
    strengths = tuple((line, Strength(how)) for line, how in doing.lines)
    in_order = tuple(sorted(strengths, key=lambda each: cartridge.assay.line_keys.index(each[0])))
    slip = SlipReason.OTHER
    if doing.purpose is Purpose.CORRECT and doing.slip is not None:
        slip = SlipReason(doing.slip)
    entry = replace(
        entry_on(hand, _DOES[doing.purpose], cartridge),
        slip=slip,
        scanned=cartridge.label if hand.chosen_by is not How.PICKED else None,
        person=doing.person,
        person_by=doing.person_by,
        control=doing.control,
        test=in_order or None,
        unreadable=None if doing.unreadable is None else Unreadable(doing.unreadable),
    )
    return asked_of(hand, entry, _saved(cartridge, doing))


def _saved(cartridge: Cartridge, doing: Judging) -> Then:
    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        said = told(answer, scene, cartridge=cartridge.label, is_look=doing.purpose is Purpose.LOOK)
        after = answer.board.cartridge(cartridge.id)
        if answer.accepted or after is None or stage_at(after, answer.at) is Stage.LAPSED:
            return hand.now_doing(Watching(), said)
        return replace(hand, said=said)

    return then


def _scanned(
    hand: Hand, doing: Judging, cartridge: Cartridge, given: Scanned, scene: Scene
) -> Turn:
    found = find(scene.board, given.text)
    if found.thing is Thing.OPERATOR:
        return only(replace(hand, operator=found.text).saying(f"{found.text} acts now.", fine=True))
    if found.thing is Thing.CARTRIDGE and found.text == cartridge.label:
        return only(hand.choosing(cartridge.id, given.how).saying(f"{cartridge.label} it is."))
    if found.thing is Thing.PERSON and (
        scene.board.persons.get(found.text) == cartridge.labelled.subject
    ):
        changed = replace(doing, person=found.text, person_by=given.how)
        words = f"{found.text}: same person as on {cartridge.label}."
        return only(hand.now_doing(changed).saying(words, fine=True))
    # Anything else is the wrong thing at a reading: the bay refuses it and keeps the near miss.
    entry = entry_on(hand, _DOES[doing.purpose], cartridge)
    if found.thing is Thing.CARTRIDGE:
        entry = replace(entry, scanned=found.text)
    else:
        entry = replace(entry, person=given.text, person_by=given.how)
    return asked_of(hand, entry, _refused(cartridge))


def _refused(cartridge: Cartridge) -> Then:
    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        doing = hand.doing
        if isinstance(doing, Judging):
            # Something else was in the hand, so nobody can say which strip was looked at.
            hand = hand.choosing(cartridge.id, How.PICKED).now_doing(
                replace(
                    doing,
                    person=None,
                    person_by=None,
                    control=None,
                    lines=(),
                    unreadable=None,
                    cursor=0,
                )
            )
        return replace(hand, said=told(answer, scene, cartridge=cartridge.label))

    return then
