"""Whether the right operator acts on the right cartridge of the right person.

The order of the checks is fixed, so that of several reasons the same one is
always given: operator, cartridge known, scanned, person, already ended or read.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.patients import is_second
from readbell.core.board.subjects import is_subject
from readbell.core.cartridge.acts import CorrectReading, Look, Read
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.cartridge.stage import Stage
from readbell.core.made_later import dataclass
from readbell.core.refusal import Refusal, RefusalCode

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.acts import ActOnCartridge
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class Identity:
    """Operator and cartridge, both made sure of."""

    operator: str
    cartridge: Cartridge


def identify(board: Board, act: ActOnCartridge, now: Instant) -> Identity | Refusal:
    """Find out who acts on which cartridge, or say what is wrong."""
    operator = board.operators.get(act.aim.by)
    if operator is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.aim.by)
    found = identify_cartridge(board, act, now)
    if isinstance(found, Refusal):
        return found
    return Identity(operator=operator, cartridge=found)


def identify_cartridge(board: Board, act: ActOnCartridge, now: Instant) -> Cartridge | Refusal:
    """Find out on which cartridge somebody acts, whoever that is, or say what is wrong."""
    aim = act.aim
    cartridge = board.labelled(aim.cartridge)
    if cartridge is None:
        return Refusal(code=RefusalCode.UNKNOWN_CARTRIDGE, subject=aim.cartridge)
    if aim.scanned is not None and aim.scanned != cartridge.label:
        return Refusal(code=RefusalCode.WRONG_CARTRIDGE, subject=aim.scanned)
    if aim.person is not None and not is_subject(board, cartridge, aim.person):
        return Refusal(code=RefusalCode.WRONG_PERSON, subject=cartridge.label)
    if aim.second is not None and not is_second(board, cartridge.labelled.subject, aim.second):
        return Refusal(code=RefusalCode.WRONG_PERSON, subject=cartridge.label)
    return refuse_ended(cartridge, act, now) or cartridge


def refuse_ended(cartridge: Cartridge, act: ActOnCartridge, now: Instant) -> Refusal | None:
    """Say why nothing more is done to a cartridge that was read, has lapsed or is void."""
    match stage_at(cartridge, now):
        case Stage.READ if isinstance(act, CorrectReading):
            return None  # the one thing that may still be done to it; its own rules follow
        case Stage.READ:
            return Refusal(code=RefusalCode.ALREADY_READ, subject=cartridge.label)
        case Stage.LAPSED if isinstance(act, (Look, Read)):
            return Refusal(code=RefusalCode.WINDOW_CLOSED, subject=cartridge.label)
        case Stage.LAPSED | Stage.VOID:
            return Refusal(code=RefusalCode.ALREADY_ENDED, subject=cartridge.label)
        case _:
            return None
