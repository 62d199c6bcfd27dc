"""Operators, persons, parties, assays and lots become known; a lot is opened or put on hold."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.assay.events import AssayAdopted, Basis
from readbell.core.board.events import Mode
from readbell.core.board.patient_ids import refuse_id
from readbell.core.board.patients import noted, noted_of_party, refuse_particulars
from readbell.core.people.events import (
    OperatorRegistered,
    PartyNoted,
    PartyRegistered,
    PersonRegistered,
)
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.stock.events import BoxBegun, LotHeld, LotOpened, LotReceived
from readbell.core.stock.lot import refuse_lot

if TYPE_CHECKING:
    from readbell.core.board.acts import (
        AdoptAssay,
        HoldLot,
        OpenLot,
        ReceiveLot,
        RegisterOperator,
        RegisterParty,
        RegisterPerson,
    )
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.people.events import ParticularNoted


def decide_operator(
    board: Board, act: RegisterOperator, now: Instant
) -> tuple[OperatorRegistered] | Refusal:
    """Judge the registration of an operator; only the first needs nobody to vouch."""
    by = _registrar(board, act.by)
    if isinstance(by, Refusal):
        return by
    if act.operator.value in board.operators:
        return Refusal(code=RefusalCode.ALREADY_KNOWN, subject="operator")
    return (OperatorRegistered(at=now, by=by, operator=act.operator),)


def decide_person(
    board: Board, act: RegisterPerson, now: Instant
) -> tuple[PersonRegistered | ParticularNoted, ...] | Refusal:
    """Judge the registration of a person to be tested, with what is known of them."""
    by = _registrar(board, act.by)
    if isinstance(by, Refusal):
        return by
    if act.person.value in board.persons:
        return Refusal(code=RefusalCode.ALREADY_KNOWN, subject="person")
    refused = refuse_id(act.person.value or "", board.policy)
    if refused is None and act.today is not None:
        refused = refuse_particulars(act.particulars, act.today)
    return refused or (
        PersonRegistered(at=now, by=by, person=act.person),
        *noted(act.particulars, act.person.key, by, now),
    )


def decide_party(
    board: Board, act: RegisterParty, now: Instant
) -> tuple[PersonRegistered | PartyRegistered | PartyNoted, ...] | Refusal:
    """Judge the registration of a party: who is not known yet is registered with it."""
    by = _registrar(board, act.by)
    if isinstance(by, Refusal):
        return by
    if not act.persons:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="empty party")
    if len({each.value for each in act.persons}) < len(act.persons):
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="person twice")
    if act.party.value in {board.name(key) for key in board.parties}:
        return Refusal(code=RefusalCode.ALREADY_KNOWN, subject="party")
    known = [board.persons.get(each.value or "") for each in act.persons]
    new = [each for each, key in zip(act.persons, known, strict=True) if key is None]
    for each in new:
        refused = refuse_id(each.value or "", board.policy)
        if refused is not None:
            return refused
    return (
        *(PersonRegistered(at=now, by=by, person=each) for each in new),
        PartyRegistered(
            at=now,
            by=by,
            party=act.party,
            persons=tuple(key or each.key for each, key in zip(act.persons, known, strict=True)),
        ),
        *noted_of_party(act.party.key, act.lane, act.note, by, now),
    )


def decide_adoption(board: Board, act: AdoptAssay, now: Instant) -> tuple[AssayAdopted] | Refusal:
    """Judge an adoption: a live bay takes only what somebody has checked."""
    by = _registrar(board, act.by)
    if isinstance(by, Refusal):
        return by
    live = board.founded is None or board.founded.mode is Mode.LIVE
    if live and (act.basis is not Basis.CHECKED or not act.instructions_version.strip()):
        return Refusal(code=RefusalCode.NOT_ADOPTED, subject=act.assay.id)
    if act.content_hash in board.assays:
        return Refusal(code=RefusalCode.ALREADY_KNOWN, subject="assay")
    return (
        AssayAdopted(
            at=now,
            by=by,
            assay=act.assay,
            content_hash=act.content_hash,
            basis=act.basis,
            instructions_version=act.instructions_version,
        ),
    )


def decide_lot(board: Board, act: ReceiveLot, now: Instant) -> tuple[LotReceived] | Refusal:
    """Judge the receipt of a lot; its assay must have been adopted."""
    by = _registrar(board, act.by)
    if isinstance(by, Refusal):
        return by
    if act.number in board.lots:
        return Refusal(code=RefusalCode.ALREADY_KNOWN, subject="lot")
    adopted = board.assay_called(act.assay)
    if adopted is None:
        return Refusal(code=RefusalCode.NOT_ADOPTED, subject=act.assay)
    return (
        LotReceived(
            at=now,
            by=by,
            number=act.number,
            assay=adopted.content_hash,
            expires=act.expires,
            units=act.units,
        ),
    )


def decide_hold(board: Board, act: HoldLot, now: Instant) -> tuple[LotHeld] | Refusal:
    """Judge a hold; any operator may stop a lot, and stopping it twice does no harm."""
    operator = board.operators.get(act.by)
    if operator is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    if act.lot not in board.lots:
        return Refusal(code=RefusalCode.UNKNOWN_LOT, subject=act.lot)
    return (LotHeld(at=now, by=operator, number=act.lot),)


def decide_opening(
    board: Board, act: OpenLot, now: Instant
) -> tuple[LotOpened | BoxBegun, ...] | Refusal:
    """Judge the opening of a box: what no cartridge may be taken from is not opened.

    The first opening of a lot that is good for so many days begins those days; a
    scan of the same box on a later day does not.
    """
    operator = board.operators.get(act.by)
    if operator is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.by)
    lot = board.lots.get(act.lot)
    if lot is None:
        return Refusal(code=RefusalCode.UNKNOWN_LOT, subject=act.lot)
    refused = refuse_lot(lot, act.today)
    if refused is not None:
        return refused
    opened = LotOpened(at=now, by=operator, number=act.lot)
    if lot.good_after_opening is None or lot.opened_on is not None:
        return (opened,)
    return opened, BoxBegun(at=now, by=operator, number=act.lot, on=act.today)


def _registrar(board: Board, by: str | None) -> str | Refusal | None:
    """Return who vouches; nobody can before the first operator is known."""
    if by is not None:
        return board.operators.get(by) or Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=by)
    if not board.operators or (board.founded is not None and board.founded.mode is Mode.REHEARSAL):
        return None
    return Refusal(code=RefusalCode.UNKNOWN_OPERATOR)
