"""One person's turn: their ID was read back, now a pouch is opened and its device labelled."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice
from typing import TYPE_CHECKING

from readbell.core.board.competence import ASKS_WITNESS
from readbell.core.board.entry import Do, Entry
from readbell.core.board.layered import backwards
from readbell.core.board.shifts import is_label_taken, labelled_in_shift
from readbell.core.board.which_box import WhichBox
from readbell.core.cartridge.events import How
from readbell.core.refusal import RefusalCode
from readbell.hand.asking import NOBODY, NOT_SAVED, asked, asked_of, told
from readbell.hand.before_pouch import SHUT, in_the_way, warned_of, witness_wanted
from readbell.hand.doing import Labelling, Watching
from readbell.hand.finding import Thing, find
from readbell.hand.given import Given, Key, Pressed, Scanned
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.left_form import begin as begin_leaving
from readbell.hand.left_form import why_not
from readbell.hand.person_form import first as first_form
from readbell.hand.second import ask_for, asked_of_patients, may_be
from readbell.hand.which_box import (
    box_in_hand,
    first_box,
    other_boxes,
    say_no_box,
    say_others,
    say_why,
    title_of,
)
from readbell.phrases.next_start_words import say_risk
from readbell.scenarios.line import OpenLotLine

WITNESS = "The supervisor who stands by scans their badge now."

if TYPE_CHECKING:
    from readbell.bay.news import Answer
    from readbell.core.board.board import Board
    from readbell.core.people.particulars import Particular
    from readbell.hand.scene import Scene


def turn_of(
    hand: Hand,
    person: str,
    how: How,
    scene: Scene,
    *,
    is_sample: bool = False,
    second: str | None = None,
    box: str | None = None,
) -> Hand:
    """Return the hand in the middle of labelling a device for `person`, or for a sample.

    It is taken from the box that something asks for, or from the lot `box` if somebody said so.
    """
    if not scene.saves:
        return hand.now_doing(Watching()).saying(NOT_SAVED, fine=False)
    which = first_box(person, scene, is_sample=is_sample) if box is None else WhichBox(box)
    against = in_the_way(hand, scene, which.lot, person=person, is_sample=is_sample)
    if against is not None:
        return hand.now_doing(Watching()).saying(against, fine=False)
    form = None if is_sample else first_form(scene, person, how)
    if form is not None:
        kept = () if second is None else (("second", second),)
        form = replace(form, answers=(*form.answers, *kept))
        return hand.choosing(None, How.PICKED).now_doing(form)
    doing = Labelling(
        person=person,
        person_by=how,
        is_sample=is_sample,
        second=second,
        second_asked=None if is_sample else asked_of_patients(scene.board),
        asks_witness=witness_wanted(hand, scene, which.lot, is_sample=is_sample) is not None,
        box=which,
        offered=next_label(scene.board, scene.label_begins),
        theirs=frozenset() if is_sample else _running_of(person, scene),
    )
    return _told(hand.choosing(None, How.PICKED), doing, scene)


def _told(hand: Hand, doing: Labelling, scene: Scene, before: str = "") -> Hand:
    """Return the hand with what comes next in this turn; `before` was to be said first."""
    what = missing_second(doing)
    next_words = _what_to_do(hand, doing, scene) if what is None else ask_for(what)
    return hand.now_doing(doing).saying(f"{before} {next_words}".lstrip())


def missing_second(doing: Labelling) -> Particular | None:
    """Return what is still to be read back beside the ID, or None."""
    return doing.second_asked if doing.second is None else None


def one_more(hand: Hand, person: str, how: How, why: str) -> Hand:
    """Return the hand that asks whether `person`, who had a cartridge, is to get another."""
    doing = Labelling(person=person, person_by=how, again=True)
    return hand.choosing(None, How.PICKED).now_doing(doing).saying(f"{why} F2 begins another.")


def _what_to_do(hand: Hand, doing: Labelling, scene: Scene) -> str:
    lot = box_in_hand(doing, scene)
    if lot is None:
        return say_no_box(doing, scene)
    if doing.asks_witness:
        why = witness_wanted(hand, scene, lot, is_sample=doing.is_sample) or ""
        return f"{why} {WITNESS} {SHUT}".strip()
    found = scene.looked_ahead(lot)
    risk = "" if found is None else say_risk(found, scene.board, scene.now)
    warned = warned_of(hand, scene, lot, is_sample=doing.is_sample)
    # Told before the pouch is opened, and no more than told: people may have their reasons.
    before = "".join(f"{each} " for each in (risk, warned, say_why(doing)) if each)
    which = f", {title_of(scene.board, lot)}" if len(scene.board.assays) > 1 else ""
    also = say_others(other_boxes(doing, scene), scene.board)
    return (
        f"{before}Open one pouch of lot {lot}{which}. Scan the label on the cartridge, or write "
        f"{next_label(scene.board, scene.label_begins)} on it and press F2. {also}"
    ).rstrip()


def next_label(board: Board, begins: str = "") -> str:
    """Return the first short label that is free, to be written on a device without a barcode.

    One that was written ahead for somebody is not. It `begins` with the mark of a station that
    is alone, so that no other writes the same.
    """
    number = labelled_in_shift(board) + 1
    while not _is_free(board, label := f"{begins}C{number:02d}"):
        number += 1
    return label


def _is_free(board: Board, label: str) -> bool:
    return label not in board.ahead and not is_label_taken(board, label)


def label_on_key(doing: Labelling, scene: Scene) -> str:
    """Return the label that the key records: what was offered first, for as long as it may be used.

    It may stand on the device already, whatever was labelled elsewhere since.
    """
    begins, offered = scene.label_begins, doing.offered
    if offered and offered.startswith(begins) and _is_free(scene.board, offered):
        return offered
    return next_label(scene.board, begins)


def form_of(text: str) -> str:
    """Return the shape of an ID: what is letter, what digit, what neither."""
    return "".join("9" if each.isdigit() else "A" if each.isalpha() else each for each in text)


def label_given(hand: Hand, doing: Labelling, given: Given, scene: Scene) -> Turn | None:
    """Return what becomes of `given`, or None if the board is to deal with it."""
    if doing.again:
        return _agreed(hand, doing, given, scene)
    match given:
        case Pressed(key=Key.START) if (words := _begun_meanwhile(doing, scene)) is not None:
            return only(one_more(hand, doing.person, doing.person_by, words))
        case Pressed(key=Key.START) if doing.doubted is not None:
            return _label(hand, doing, doing.doubted, doing.doubted_by, scene)
        case Pressed(key=Key.START):
            free = label_on_key(doing, scene)
            if doing.offered not in ("", free):
                return only(_taken_meanwhile(hand, doing, free, scene))
            return _label(hand, doing, free, How.PICKED, scene)
        case Pressed(key=Key.LOOK):
            return only(_other_box(hand, doing, scene))
        case Pressed(key=Key.SECOND):
            words = "Where on the bench will it lie? Type it, such as tray 2; then the label."
            return only(hand.now_doing(replace(doing, asks_place=True)).saying(words))
        case Pressed(key=Key.VOID) if not doing.is_sample:
            against = why_not(doing.person, scene)
            if against is None:
                return only(begin_leaving(hand, doing.person, *_of_turn(doing)))
            return only(hand.saying(f"{against}. Esc lets this turn go.", fine=False))
        case Scanned() if _answers_second(doing, given, scene):
            free = next_label(scene.board, scene.label_begins)
            changed = replace(doing, second=given.text, offered=free)
            return only(hand.now_doing(changed).saying(_what_to_do(hand, changed, scene)))
        case Scanned() if doing.asks_witness:
            return _stands_by(hand, doing, given, scene)
        case Scanned() if doing.asks_place:
            placed = replace(doing, place=given.text, asks_place=False)
            words = f"It will lie at {given.text}. Now the label on the cartridge."
            return only(hand.now_doing(placed).saying(words))
        case Scanned():
            return _scanned(hand, doing, given, scene)
        case _:
            return None


def _taken_meanwhile(hand: Hand, doing: Labelling, free: str, scene: Scene) -> Hand:
    """Say that the label that was to be written is none any more: it may stand on the device.

    Another station used it, or this one is alone since and begins its labels otherwise. The key
    that comes twice in a moment is taken once here, too.
    """
    words = (
        f"{doing.offered} is not free any more. Write {free} on the cartridge, "
        f"strike {doing.offered} out if it stands there, then press F2."
    )
    asks = hand.now_doing(replace(doing, offered=free)).saying(words, fine=False)
    return replace(asks, brought_up=scene.now)


def _other_box(hand: Hand, doing: Labelling, scene: Scene) -> Hand:
    """Return the hand with the next open box in its turn; one that would be refused is not taken."""
    words = "No other box stands open. Scan the lot of the box that the pouch is from."
    for lot in other_boxes(doing, scene):
        against = in_the_way(hand, scene, lot, person=doing.person, is_sample=doing.is_sample)
        if against is None:
            return _from_box(hand, doing, lot, scene)
        words = f"Lot {lot} is not taken. {against}"
    return hand.saying(words, fine=False)


def _from_box(hand: Hand, doing: Labelling, lot: str, scene: Scene, before: str = "") -> Hand:
    """Return the hand in the same turn with its pouch from another box; `before` is said first."""
    asks = witness_wanted(hand, scene, lot, is_sample=doing.is_sample) is not None
    changed = replace(
        doing,
        box=WhichBox(lot),
        asks_witness=asks and doing.witness is None,
    )
    return _told(hand, changed, scene, before)


def _box_scanned(hand: Hand, doing: Labelling, lot: str) -> Turn:
    """Open the box that was scanned: the pouch of this turn is from it, or none is opened."""
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))

    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        said = told(answer, scene)
        if not answer.accepted:
            return replace(hand, said=said)
        scene = replace(scene, board=answer.board)
        against = in_the_way(hand, scene, lot, person=doing.person, is_sample=doing.is_sample)
        if against is not None:
            return hand.now_doing(Watching()).saying(against, fine=False)
        return _from_box(hand, doing, lot, scene, said.words)

    return asked(hand, OpenLotLine(do="open-lot", by=hand.operator, lot=lot), then)


def _running_of(person: str, scene: Scene) -> frozenset[str]:
    """Return the labels of what runs for `person`."""
    subject = scene.board.persons.get(person)
    running = scene.in_order()
    return frozenset(each.label for each in running if each.labelled.subject == subject)


def _begun_meanwhile(doing: Labelling, scene: Scene) -> str | None:
    """Say that somebody else began this person since their turn came up here; None: nobody did."""
    new = frozenset() if doing.is_sample else _running_of(doing.person, scene) - doing.theirs
    if not new:
        return None
    return f"{doing.person}: {', '.join(sorted(new))} was begun by somebody else meanwhile."


def _of_turn(doing: Labelling) -> tuple[tuple[str, str], ...]:
    """Return what a form keeps of a turn that it breaks into, to go back to it."""
    second = () if doing.second is None else (("second", doing.second),)
    box = () if doing.box is None or doing.box.lot is None else (("box", doing.box.lot),)
    return (("how", str(doing.person_by)), *second, *box)


def _answers_second(doing: Labelling, given: Scanned, scene: Scene) -> bool:
    """Say whether a text is the second identifier, which is still open."""
    what = missing_second(doing)
    if what is None or doing.asks_place or not may_be(what, given):
        return False
    return find(scene.board, given.text).thing in (Thing.UNKNOWN, Thing.TWO_IN_ONE)


def _agreed(hand: Hand, doing: Labelling, given: Given, scene: Scene) -> Turn | None:
    """Begin another for somebody who had one, once a key has said so; a scan goes to the board."""
    match given:
        case Pressed(key=Key.START):
            return only(turn_of(hand, doing.person, doing.person_by, scene))
        case Scanned() if find(scene.board, given.text).thing is Thing.UNKNOWN:
            words = f"{doing.person} had one already. F2 begins another; Esc leaves it."
            return only(hand.saying(words, fine=False))
        case _:
            return None


def _scanned(hand: Hand, doing: Labelling, given: Scanned, scene: Scene) -> Turn | None:
    found = find(scene.board, given.text)
    match found.thing:
        case Thing.PERSON | Thing.SAMPLE if found.text == doing.person:
            # The same ID once more: nothing new, and no second cartridge.
            free = next_label(scene.board, scene.label_begins)
            told_anew = hand.now_doing(replace(doing, offered=free, doubted=None))
            return only(told_anew.saying(_what_to_do(hand, doing, scene)))
        case Thing.PERSON | Thing.SAMPLE:
            words = (
                f"{found.text} waits: it is the turn of {doing.person}, whose pouch may be open. "
                "Label it, or Esc puts that off."
            )
            return only(hand.saying(words, fine=False))
        case Thing.UNKNOWN if _is_doubtful(found.text, doing, scene.board):
            words = (
                f"{found.text} looks like another person's ID. If it is the label on the "
                "cartridge, F2 takes it; else scan the label."
            )
            doubtful = replace(doing, doubted=found.text, doubted_by=given.how)
            return only(hand.now_doing(doubtful).saying(words, fine=False))
        case Thing.UNKNOWN | Thing.CARTRIDGE:
            meanwhile = _begun_meanwhile(doing, scene)
            if meanwhile is not None:
                return only(one_more(hand, doing.person, doing.person_by, meanwhile))
            return _label(hand, doing, found.text, given.how, scene)
        case Thing.LOT:
            return _box_scanned(hand, doing, found.text)
        case Thing.TWO_IN_ONE:
            return only(hand.saying("That was two labels at once. Scan one.", fine=False))
        case _:
            return None


def _stands_by(hand: Hand, doing: Labelling, given: Scanned, scene: Scene) -> Turn | None:
    """Take a badge as that of the supervisor who stands by; anything else as what it is."""
    found = find(scene.board, given.text)
    if found.thing is not Thing.OPERATOR:
        return _scanned(hand, doing, given, scene)
    free = next_label(scene.board, scene.label_begins)
    changed = replace(doing, witness=found.text, asks_witness=False, offered=free)
    words = (
        f"{found.text} stands by. Now one pouch of lot {box_in_hand(doing, scene)}: scan the label on "
        f"the cartridge, or write {free} on it and press F2."
    )
    return only(hand.now_doing(changed).saying(words))


def _is_doubtful(text: str, doing: Labelling, board: Board) -> bool:
    """Say whether `text` has the form of this person's ID, and the latest labels have not.

    One label that was such an ID among others proves nothing: it may have been the slip.
    """
    form = form_of(text)
    if form != form_of(doing.person):
        return False
    latest = [form_of(board.order[each]) for each in islice(backwards(board.order), 2)]
    return not latest or any(each != form for each in latest)


def _label(hand: Hand, doing: Labelling, label: str, how: How, scene: Scene) -> Turn:
    lot = box_in_hand(doing, scene)
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    if lot is None:
        return only(hand.saying(say_no_box(doing, scene), fine=False))
    entry = Entry(
        do=Do.LABEL,
        by=hand.operator,
        cartridge=label,
        cartridge_by=how,
        person=doing.person,
        person_by=doing.person_by,
        second=doing.second,
        is_sample=doing.is_sample,
        lot=lot,
        place=doing.place,
        witness=doing.witness or "",
    )

    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        said = told(answer, scene, cartridge=label)
        started = answer.board.labelled(label)
        refusal = answer.refusal
        if refusal is not None and refusal.subject in ASKS_WITNESS:
            asks = replace(doing, asks_witness=True)
            return hand.now_doing(asks, replace(said, words=f"{said.words} {WITNESS}"))
        if refusal is not None and refusal.code is RefusalCode.WRONG_PERSON:
            # What was read back is somebody else's: it is asked for anew.
            return hand.now_doing(replace(doing, second=None), said)
        if refusal is not None and refusal.code is RefusalCode.LABEL_IN_USE:
            free = next_label(answer.board, scene.label_begins)
            return hand.now_doing(replace(doing, offered=free), said)
        if not answer.accepted or started is None:
            return replace(hand, said=said)
        return hand.choosing(started.id, How.PICKED).now_doing(Watching(), said)

    return asked_of(hand, entry, then)
