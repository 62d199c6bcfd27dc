"""What was confirmed by mistake is taken back: the last press on a cartridge, and only with a reason."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.entry import Do
from readbell.core.cartridge.events import TakeBackReason
from readbell.core.cartridge.taking_back import confirmed_last
from readbell.hand.asking import asked_of, back_to_board, entry_on
from readbell.hand.doing import TakingBack
from readbell.hand.finding import Thing, find
from readbell.hand.given import Chose, Given, Key, Pressed, Scanned
from readbell.hand.hand import Hand, Turn, only
from readbell.hand.question import Option, Question, moved
from readbell.phrases.of_cartridges import TAKE_BACK_REASONS, say_steps

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge, StepMark
    from readbell.hand.scene import Scene


def begin(hand: Hand, cartridge: Cartridge) -> Hand:
    """Return the hand that is about to take back what was confirmed last on `cartridge`."""
    marks = confirmed_last(cartridge)
    doing = TakingBack(cartridge=cartridge.id, step=marks[-1].step)
    return hand.now_doing(doing).saying(
        f"Not done after all? Choose why, then F6 takes it back on {cartridge.label}. Esc keeps it."
    )


def about(doing: TakingBack, cartridge: Cartridge) -> tuple[StepMark, ...]:
    """Return what would be taken back; nothing once somebody else has gone on with the cartridge."""
    marks = confirmed_last(cartridge)
    return marks if marks and marks[-1].step == doing.step else ()


def titles(doing: TakingBack, cartridge: Cartridge) -> str:
    """Return the steps that would be taken back, in the words of the assay."""
    marks = about(doing, cartridge)
    return say_steps([mark.step for mark in marks] or [doing.step], cartridge)


def questions(doing: TakingBack) -> tuple[Question, ...]:
    """Return the one thing that is asked."""
    return (
        Question(
            key="reason",
            asks="Why",
            options=tuple(Option(each, TAKE_BACK_REASONS[each]) for each in TakeBackReason),
            answer=doing.reason,
            is_list=True,
        ),
    )


def take_back_given(hand: Hand, doing: TakingBack, given: Given, scene: Scene) -> Turn | None:
    """Return what becomes of `given`, or None if the board is to deal with it."""
    cartridge = scene.cartridge(doing.cartridge)
    if cartridge is None:
        return None
    match given:
        case Pressed(key=Key.UP | Key.DOWN as key):
            return only(_because(hand, doing, moved(questions(doing)[0], key)))
        case Chose(question="reason", answer=answer) if answer in tuple(TakeBackReason):
            return only(_because(hand, doing, answer))
        case Scanned():
            return _scanned(hand, doing, cartridge, given, scene)
        case Pressed(key=Key.SECOND) if doing.reason is None:
            return only(hand.saying("Choose why with Up and Down first.", fine=False))
        case Pressed(key=Key.SECOND):
            entry = replace(
                entry_on(hand, Do.TAKE_BACK, cartridge), step=doing.step, reason=doing.reason
            )
            if doing.scanned_by is not None:
                entry = replace(entry, scanned=cartridge.label, cartridge_by=doing.scanned_by)
            return asked_of(hand, entry, back_to_board(cartridge.label, takes_back=True))
        case _:
            return None


def _because(hand: Hand, doing: TakingBack, reason: str | None) -> Hand:
    return hand.now_doing(replace(doing, reason=reason), hand.said)


def _scanned(
    hand: Hand, doing: TakingBack, cartridge: Cartridge, given: Scanned, scene: Scene
) -> Turn | None:
    """Return what a scan makes sure of; none takes anything back, and any other goes on elsewhere."""
    found = find(scene.board, given.text)
    if found.thing is Thing.OPERATOR:
        return only(replace(hand, operator=found.text).saying(f"{found.text} acts now.", fine=True))
    if cartridge.label in (given.text, found.text):
        made_sure = hand.now_doing(replace(doing, scanned_by=given.how))
        return only(made_sure.saying(f"{cartridge.label} it is. Why? Then F6."))
    return None
