"""A cartridge is given up: only the very thing, scanned, and only with a reason."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.entry import Do
from readbell.core.cartridge.events import VoidReason
from readbell.hand.asking import asked_of, back_to_board, entry_on, stay
from readbell.hand.doing import Voiding
from readbell.hand.finding import Thing, find
from readbell.hand.given import Chose, Given, Key, Pressed, Scanned
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.question import Option, Question, moved
from readbell.phrases.of_cartridges import say_reason

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.hand.scene import Scene

PICKED = tuple(each for each in VoidReason if each is not VoidReason.TIME_UNSURE)
"""The reasons a person may pick; the one left out is the program's own."""


def begin(hand: Hand, cartridge: Cartridge) -> Hand:
    """Return the hand that is about to give `cartridge` up."""
    return hand.now_doing(Voiding(cartridge=cartridge.id)).saying(
        f"Void {cartridge.label}: scan the cartridge itself, choose why, then F12. Esc keeps it."
    )


def questions(doing: Voiding, cartridge: Cartridge) -> tuple[Question, ...]:
    """Return what is asked before a cartridge is given up."""
    return (
        Question(
            key="cartridge",
            asks=f"Scan {cartridge.label} itself",
            answer=cartridge.label if doing.scanned else None,
            shown=cartridge.label if doing.scanned else "",
        ),
        _why(doing),
    )


def void_given(hand: Hand, doing: Voiding, given: Given, scene: Scene) -> Turn | None:
    """Return what becomes of `given`, or None if the board is to deal with it."""
    cartridge = scene.cartridge(doing.cartridge)
    if cartridge is None:
        return None
    match given:
        case Pressed(key=Key.UP | Key.DOWN as key):
            return only(_because(hand, doing, moved(_why(doing), key)))
        case Chose(question="reason", answer=answer) if answer in PICKED:
            return only(_because(hand, doing, answer))
        case Scanned():
            return _scanned(hand, doing, cartridge, given, scene)
        case Pressed(key=Key.VOID) if not doing.scanned:
            return only(hand.saying(f"Scan {cartridge.label} itself first.", fine=False))
        case Pressed(key=Key.VOID) if doing.reason is None:
            return only(hand.saying("Choose why with Up and Down first.", fine=False))
        case Pressed(key=Key.VOID):
            entry = replace(
                entry_on(hand, Do.VOID, cartridge),
                scanned=cartridge.label,
                cartridge_by=doing.how,
                reason=doing.reason,
            )
            return asked_of(hand, entry, back_to_board(cartridge.label))
        case _:
            return None


def _why(doing: Voiding) -> Question:
    return Question(
        key="reason",
        asks="Why",
        options=tuple(Option(each, say_reason(each)) for each in PICKED),
        answer=doing.reason,
        is_list=True,
    )


def _because(hand: Hand, doing: Voiding, reason: str | None) -> Hand:
    return hand.now_doing(replace(doing, reason=reason), hand.said)


def _scanned(
    hand: Hand, doing: Voiding, cartridge: Cartridge, given: Scanned, scene: Scene
) -> Turn:
    found = find(scene.board, given.text)
    if found.thing is Thing.OPERATOR:
        return only(replace(hand, operator=found.text).saying(f"{found.text} acts now.", fine=True))
    if found.thing is Thing.CARTRIDGE and found.text == cartridge.label:
        changed = replace(doing, scanned=True, how=given.how)
        return only(hand.now_doing(changed).saying(f"{cartridge.label} it is. Why? Then F12."))
    entry = replace(entry_on(hand, Do.VOID, cartridge), scanned=given.text)
    return asked_of(hand, entry, stay(cartridge.label))
