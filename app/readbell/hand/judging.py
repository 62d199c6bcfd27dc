"""A strip is looked at: each line answered one by one, the person read back, and only then saved."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.entry import Do
from readbell.core.board.patients import is_second
from readbell.core.board.subjects import is_subject
from readbell.core.cartridge.at_instant import stage_at, window
from readbell.core.cartridge.correction import correctable_until
from readbell.core.cartridge.events import How, SlipReason
from readbell.core.cartridge.stage import Stage
from readbell.core.reading.bands import Strength, Unreadable
from readbell.hand.asking import Then, asked, asked_of, entry_on, told
from readbell.hand.doing import Judging, Purpose, Watching
from readbell.hand.finding import Thing, find
from readbell.hand.given import Chose, Given, Key, Pressed, Scanned
from readbell.hand.hand import Hand, Said, Turn, only
from readbell.hand.judging_questions import is_whole, questions
from readbell.hand.question import moved, next_open
from readbell.hand.second import ask_for, asked_of_patients, without
from readbell.scenarios.line import EntryLine

if TYPE_CHECKING:
    from readbell.bay.news import Answer
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.hand.scene import Scene

_SAVES = {Purpose.READ: Key.READ, Purpose.CORRECT: Key.READ, Purpose.LOOK: Key.LOOK}
_DOES = {Purpose.READ: Do.READ, Purpose.LOOK: Do.LOOK, Purpose.CORRECT: Do.CORRECT}


UNSIGNED = (
    "Nobody is signed on. Scan your badge, then F5. If you cannot sign in, type your name "
    "and Enter: the reading counts, and is held for review."
)
NO_LABEL = frozenset({Thing.UNKNOWN, Thing.OPERATOR})
"""What a name may look like: whoever is locked out may type their own ID."""


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
    nobody = hand.operator is None and doing.name is None
    if nobody and doing.purpose is Purpose.READ and is_whole(doing, cartridge):
        return only(hand.now_doing(replace(doing, asks_name=True)).saying(UNSIGNED, fine=False))
    if not is_whole(doing, cartridge):
        missing = [each.asks for each in questions(doing, cartridge) if each.is_open]
        return only(hand.saying(f"Not saved. Still open: {', '.join(missing)}.", fine=False))
    if doing.second_asked is not None and doing.second is None and not doing.without_second:
        knowing = replace(doing, without_second=True)
        return only(hand.now_doing(knowing).saying(without(doing.second_asked), fine=False))
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
        second=doing.second,
        second_by=doing.second_by,
        control=doing.control,
        test=in_order or None,
        unreadable=None if doing.unreadable is None else Unreadable(doing.unreadable),
    )
    if hand.operator is None and doing.name is not None:
        unverified = EntryLine(entry=replace(entry, unverified=doing.name), ago=None)
        return asked(hand, unverified, _saved(cartridge, doing))
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
    if doing.asks_name and given.how is How.TYPED and found.thing in NO_LABEL:
        named = replace(doing, asks_name=False, name=given.text)
        words = f"Read as {given.text}, whom nobody made sure of. F5 saves it, held for review."
        return only(hand.now_doing(named).saying(words))
    if found.thing is Thing.OPERATOR:
        hand = hand.now_doing(unnamed(doing))
        return only(replace(hand, operator=found.text).saying(f"{found.text} acts now.", fine=True))
    if found.thing is Thing.CARTRIDGE and found.text == cartridge.label:
        return only(hand.choosing(cartridge.id, given.how).saying(f"{cartridge.label} it is."))
    if is_subject(scene.board, cartridge, found.text):
        asks = asked_of_patients(scene.board) if found.thing is Thing.PERSON else None
        changed = replace(doing, person=found.text, person_by=given.how, second_asked=asks)
        same = "person" if found.thing is Thing.PERSON else "control material"
        words = f"{found.text}: same {same} as on {cartridge.label}."
        if asks is not None and doing.second is None:
            words = f"{words} {ask_for(asks)}"
        return only(hand.now_doing(changed).saying(words, fine=True))
    if _is_second(doing, cartridge, given, scene):
        changed = replace(doing, second=given.text, second_by=given.how)
        return only(
            hand.now_doing(changed).saying(f"Same person as on {cartridge.label}.", fine=True)
        )
    # Anything else is the wrong thing at a reading: the bay refuses it and keeps the near miss.
    entry = entry_on(hand, _DOES[doing.purpose], cartridge)
    if found.thing is Thing.CARTRIDGE:
        entry = replace(entry, scanned=found.text)
    elif doing.second_asked is not None and found.thing is Thing.UNKNOWN:
        entry = replace(entry, person=doing.person, second=given.text, second_by=given.how)
    else:
        entry = replace(entry, person=given.text, person_by=given.how)
    return asked_of(hand, entry, _refused(cartridge))


def _is_second(doing: Judging, cartridge: Cartridge, given: Scanned, scene: Scene) -> bool:
    """Say whether a text is what the person of `cartridge` is known by beside the ID."""
    asked_for = doing.second_asked is not None
    return asked_for and is_second(scene.board, cartridge.labelled.subject, given.text)


def unnamed(doing: Judging) -> Judging:
    """Return the reading as somebody takes it up who has said who they are."""
    return replace(doing, asks_name=False, name=None)


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
                    second=None,
                    second_by=None,
                    second_asked=None,
                    control=None,
                    lines=(),
                    unreadable=None,
                    cursor=0,
                )
            )
        return replace(hand, said=told(answer, scene, cartridge=cartridge.label))

    return then
