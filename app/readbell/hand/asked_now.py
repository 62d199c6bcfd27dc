"""The questions of whatever is in hand, and which of them is up: one place for screen and voice."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.hand import (
    judging_questions,
    papers,
    stepping,
    taking_back,
    visiting,
    voiding,
)
from readbell.hand.doing import Filling, Judging, Stepping, TakingBack, Visiting, Voiding

if TYPE_CHECKING:
    from readbell.hand.doing import Doing
    from readbell.hand.question import Question
    from readbell.hand.scene import Scene


def asked_now(doing: Doing, scene: Scene) -> tuple[Question, ...]:
    """Return what is asked, in order; nothing where nothing is."""
    match doing:
        case Stepping(cartridge=cartridge_id):
            cartridge = scene.cartridge(cartridge_id)
            return () if cartridge is None else stepping.questions(doing, cartridge)
        case Judging(cartridge=cartridge_id):
            cartridge = scene.cartridge(cartridge_id)
            return () if cartridge is None else judging_questions.questions(doing, cartridge)
        case Voiding(cartridge=cartridge_id):
            cartridge = scene.cartridge(cartridge_id)
            return () if cartridge is None else voiding.questions(doing, cartridge)
        case TakingBack():
            return taking_back.questions(doing)
        case Visiting():
            return visiting.questions(doing, scene)
        case Filling():
            return papers.questions(doing, scene)
        case _:
            return ()
