"""A start that needs a supervisor to stand by: outside one's clearance, or outside the range."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.temperature import places_out_of_range
from readbell.core.cartridge.events import SubjectKind
from readbell.core.policy.staffing import OutsideCompetence
from readbell.core.policy.temperature import OutsideTemperature
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.staff.events import StartSupervised
from readbell.core.staff.roles import Role

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.acts import Label
    from readbell.core.instant import Instant
    from readbell.core.stock.lot import Lot

UNCLEARED = "uncleared"
"""A refusal about this: a supervisor as witness would be enough."""
UNWITNESSED = "unwitnessed"
"""The same, of a start while it is too cold or too warm."""
ASKS_WITNESS = frozenset({UNCLEARED, UNWITNESSED})


def with_supervision(
    board: Board, act: Label, decided: tuple[Event, ...] | Refusal, now: Instant
) -> tuple[Event, ...] | Refusal:
    """Return what comes of a start, once it is known whether a supervisor has to stand by."""
    by, lot = board.operators.get(act.aim.by), board.lots.get(act.lot)
    if isinstance(decided, Refusal) or by is None or lot is None:
        return decided
    refused = _of_clearance(board, act, by, lot)
    if refused is not None and refused.subject != UNCLEARED:
        return refused
    refused = refused or _of_temperature(board, act, lot)
    if refused is None:
        return decided
    if act.witness is None:
        return refused
    witness = board.operators.get(act.witness)
    if witness is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.witness)
    if witness == by:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="witness")
    if not board.roster.has_role(witness, Role.SUPERVISOR):
        return Refusal(code=RefusalCode.ROLE_MISSING, subject=Role.SUPERVISOR)
    return *decided, StartSupervised(at=now, by=by, witness=witness, cartridge=act.new_id)


def _of_clearance(board: Board, act: Label, by: str, lot: Lot) -> Refusal | None:
    asks = board.policy.outside_competence
    assay = board.assays[lot.assay].assay
    if asks is OutsideCompetence.ALLOWED or board.roster.is_cleared(by, assay.id, act.today):
        return None
    subject = assay.title if asks is OutsideCompetence.REFUSED else UNCLEARED
    return Refusal(code=RefusalCode.NOT_COMPETENT, subject=subject)


def _of_temperature(board: Board, act: Label, lot: Lot) -> Refusal | None:
    """Ask for a witness where it is out of range; who works alone reviews it afterwards instead."""
    asks = board.policy.outside_temperature is OutsideTemperature.SUPERVISED
    if not asks or act.subject_kind is not SubjectKind.PATIENT or board.roster.is_single:
        return None
    if not places_out_of_range(board, lot.assay):
        return None
    return Refusal(code=RefusalCode.OUT_OF_TEMPERATURE, subject=UNWITNESSED)
