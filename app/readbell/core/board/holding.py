"""Why a reading is taken and yet held: what was not in order and refuses nothing any more.

Whoever adds a reason adds a function to `SOURCES`: it looks at the board, the
cartridge, the act that was taken and the instant, and yields what it finds.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.allowed import must_sign_in
from readbell.core.board.lot_doubt import of_lot
from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.acts import CorrectReading, Look, Read, Void
from readbell.core.cartridge.events import CartridgeVoided
from readbell.core.policy.identifying import SecondIdentifier
from readbell.core.policy.staffing import OutsideCompetence
from readbell.core.refusal import Refusal
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason
from readbell.core.staff.roles import Role

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.acts import ActOnCartridge
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant

    Source = Callable[[Board, Cartridge, ActOnCartridge, Instant], Iterator[HoldReason]]


def _of_operator(
    board: Board,
    cartridge: Cartridge,
    act: ActOnCartridge,
    _: Instant,
) -> Iterator[HoldReason]:
    """Yield what is not in order about whoever acts."""
    key = board.operators[act.aim.by]  # else the act had not been taken
    if must_sign_in(board, key):
        yield HoldReason.NOT_SIGNED_IN
    if not isinstance(act, (Look, Read, CorrectReading)):
        return
    if not board.roster.has_role(key, Role.READER):
        yield HoldReason.WITHOUT_ROLE
    asks = board.policy.outside_competence is not OutsideCompetence.ALLOWED
    if asks and (
        act.today is None or not board.roster.is_cleared(key, cartridge.assay.id, act.today)
    ):
        yield HoldReason.NOT_COMPETENT


def _of_person(
    board: Board, cartridge: Cartridge, act: ActOnCartridge, _: Instant
) -> Iterator[HoldReason]:
    """Yield what is not in order about how the person was made sure of."""
    asks = board.policy.second_identifier is not SecondIdentifier.NONE
    at_reading = isinstance(act, (Look, Read, CorrectReading))
    if asks and at_reading and is_patients(cartridge) and act.aim.second is None:
        yield HoldReason.SECOND_NOT_READ_BACK


SOURCES: tuple[Source, ...] = (_of_operator, _of_person, of_lot)


def with_holds(
    board: Board,
    act: ActOnCartridge,
    decided: tuple[Event, ...] | Refusal,
    now: Instant,
) -> tuple[Event, ...] | Refusal:
    """Return what comes of an act on a cartridge, with the hold that it brings upon its reading."""
    cartridge = board.labelled(act.aim.cartridge)
    if isinstance(decided, Refusal) or cartridge is None or isinstance(act, Void):
        return decided
    if any(isinstance(each, CartridgeVoided) for each in decided):
        return decided
    found = (reason for source in SOURCES for reason in source(board, cartridge, act, now))
    new = tuple(each for each in dict.fromkeys(found) if each not in cartridge.held)
    if not new:
        return decided
    by = board.operators.get(act.aim.by)
    return *decided, ReadingHeld(at=now, by=by, cartridge=cartridge.id, reasons=new)
