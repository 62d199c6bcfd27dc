"""One person's turn: their ID was read back, now a pouch is opened and its device labelled."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.entry import Do, Entry
from readbell.core.cartridge.events import How
from readbell.hand.asking import NOBODY, asked_of, told
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
    doing = Labelling(person=person, person_by=how)
    lot = scene.board.open_lot
    if lot is None:
        return hand.now_doing(doing).saying("No box is open. Scan the lot of the box first.")
    return hand.now_doing(doing).saying(
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
    match given:
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
            found = find(scene.board, given.text)
            if found.thing is Thing.PERSON and found.text == doing.person:
                # The same badge twice: nothing new, and no second cartridge.
                return only(turn_of(hand, doing.person, given.how, scene))
            if (
                found.thing is Thing.UNKNOWN
                and found.text != doing.doubted
                and (form_of(found.text) == form_of(doing.person))
            ):
                words = (
                    f"{found.text} looks like another person's ID. If it is the label on the "
                    "cartridge, scan it once more; a new person begins with F2 after Esc."
                )
                doubtful = replace(doing, doubted=found.text)
                return only(hand.now_doing(doubtful).saying(words, fine=False))
            if found.thing in (Thing.UNKNOWN, Thing.CARTRIDGE):
                return _label(hand, doing, found.text, given.how, scene)
            if found.thing is Thing.TWO_IN_ONE:
                return only(hand.saying("That was two labels at once. Scan one.", fine=False))
            return None
        case _:
            return None


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
