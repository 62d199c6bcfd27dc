"""One person's turn: their ID was read back, now a pouch is opened and its device labelled."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.entry import Do, Entry
from readbell.core.cartridge.events import How
from readbell.hand.asking import NOBODY, NOT_SAVED, asked_of, told
from readbell.hand.doing import Labelling, Watching
from readbell.hand.finding import Thing, find
from readbell.hand.given import Given, Key, Pressed, Scanned
from readbell.hand.hand import Hand, Turn, only

if TYPE_CHECKING:
    from readbell.bay.news import Answer
    from readbell.core.board.board import Board
    from readbell.hand.scene import Scene


def turn_of(hand: Hand, person: str, how: How, scene: Scene) -> Hand:
    """Return the hand in the middle of labelling a device for `person`."""
    if not scene.saves:
        return hand.now_doing(Watching()).saying(NOT_SAVED, fine=False)
    doing = Labelling(person=person, person_by=how)
    hand = hand.choosing(None, How.PICKED).now_doing(doing)
    return hand.saying(_what_to_do(scene))


def one_more(hand: Hand, person: str, how: How, why: str) -> Hand:
    """Return the hand that asks whether `person`, who had a cartridge, is to get another."""
    doing = Labelling(person=person, person_by=how, again=True)
    return hand.choosing(None, How.PICKED).now_doing(doing).saying(f"{why} F2 begins another.")


def _what_to_do(scene: Scene) -> str:
    lot = scene.board.open_lot
    if lot is None:
        return "No box is open. Scan the lot of the box first."
    return (
        f"Open one pouch of lot {lot}. Scan the label on the cartridge, or write "
        f"{next_label(scene.board)} on it and press F2."
    )


def next_label(board: Board) -> str:
    """Return the first short label that is free, to be written on a device without a barcode."""
    number = len(board.labels) + 1
    while f"C{number:02d}" in board.labels:
        number += 1
    return f"C{number:02d}"


def form_of(text: str) -> str:
    """Return the shape of an ID: what is letter, what digit, what neither."""
    return "".join("9" if each.isdigit() else "A" if each.isalpha() else each for each in text)


def label_given(hand: Hand, doing: Labelling, given: Given, scene: Scene) -> Turn | None:
    """Return what becomes of `given`, or None if the board is to deal with it."""
    if doing.again:
        return _agreed(hand, doing, given, scene)
    match given:
        case Pressed(key=Key.START) if doing.doubted is not None:
            return _label(hand, doing, doing.doubted, doing.doubted_by, scene)
        case Pressed(key=Key.START):
            return _label(hand, doing, next_label(scene.board), How.PICKED, scene)
        case Pressed(key=Key.SECOND):
            words = "Where on the bench will it lie? Type it, such as tray 2; then the label."
            return only(hand.now_doing(replace(doing, asks_place=True)).saying(words))
        case Scanned() if doing.asks_place:
            placed = replace(doing, place=given.text, asks_place=False)
            words = f"It will lie at {given.text}. Now the label on the cartridge."
            return only(hand.now_doing(placed).saying(words))
        case Scanned():
            return _scanned(hand, doing, given, scene)
        case _:
            return None


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
        case Thing.PERSON if found.text == doing.person:
            # The same ID once more: nothing new, and no second cartridge.
            return only(hand.saying(_what_to_do(scene)))
        case Thing.PERSON:
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
            return _label(hand, doing, found.text, given.how, scene)
        case Thing.TWO_IN_ONE:
            return only(hand.saying("That was two labels at once. Scan one.", fine=False))
        case _:
            return None


def _is_doubtful(text: str, doing: Labelling, board: Board) -> bool:
    """Say whether `text` has the form of this person's ID, and no label here has that form."""
    form = form_of(text)
    latest = next(reversed(list(board.labels)), "")
    return form == form_of(doing.person) and form != form_of(latest)


def _label(hand: Hand, doing: Labelling, label: str, how: How, scene: Scene) -> Turn:
    lot = scene.board.open_lot
    if hand.operator is None:
        return only(hand.saying(NOBODY, fine=False))
    if lot is None:
        return only(hand.saying("No box is open. Scan the lot of the box first.", fine=False))
    entry = Entry(
        do=Do.LABEL,
        by=hand.operator,
        cartridge=label,
        cartridge_by=how,
        person=doing.person,
        person_by=doing.person_by,
        lot=lot,
        place=doing.place,
    )

    def then(hand: Hand, answer: Answer, scene: Scene) -> Hand:
        said = told(answer, scene, cartridge=label)
        started = answer.board.labelled(label)
        if not answer.accepted or started is None:
            return replace(hand, said=said)
        return hand.choosing(started.id, How.PICKED).now_doing(Watching(), said)

    return asked_of(hand, entry, then)
