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
    from datetime import date

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
    for_patient = act.subject_kind is SubjectKind.PATIENT
    refused = wants_supervisor(board, lot, by, act.today, for_patient=for_patient)
    if refused is None:
        return decided
    if act.witness is None or refused.subject not in ASKS_WITNESS:
        return refused
    witness = board.operators.get(act.witness)
    if witness is None:
        return Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject=act.witness)
    if witness == by:
        return Refusal(code=RefusalCode.NOT_ALLOWED, subject="witness")
    if not board.roster.has_role(witness, Role.SUPERVISOR):
        return Refusal(code=RefusalCode.ROLE_MISSING, subject=Role.SUPERVISOR)
    return *decided, StartSupervised(at=now, by=by, witness=witness, cartridge=act.new_id)


def wants_supervisor(
    board: Board, lot: Lot, by: str, today: date, *, for_patient: bool
) -> Refusal | None:
    """Say why a start needs a supervisor to stand by, or is not allowed with one either; or None.

    The first is so where the refusal is about something in `ASKS_WITNESS`.

    Args:
        board: the bay.
        lot: where the cartridge comes from.
        by: key of whoever starts it.
        today: the site's day.
        for_patient: whether it is for a person; a control sample is run whatever the temperature.
    """
    refused = _of_clearance(board, lot, by, today)
    if refused is None and for_patient:
        return _of_temperature(board, lot)
    return refused


def _of_clearance(board: Board, lot: Lot, by: str, today: date) -> Refusal | None:
    asks = board.policy.outside_competence
    assay = board.assays[lot.assay].assay
    if asks is OutsideCompetence.ALLOWED or board.roster.is_cleared(by, assay.id, today):
        return None
    subject = assay.title if asks is OutsideCompetence.REFUSED else UNCLEARED
    return Refusal(code=RefusalCode.NOT_COMPETENT, subject=subject)


def _of_temperature(board: Board, lot: Lot) -> Refusal | None:
    """Ask for a witness where it is out of range; who works alone reviews it afterwards instead."""
    asks = board.policy.outside_temperature is OutsideTemperature.SUPERVISED
    if not asks or board.roster.is_single:
        return None
    if not places_out_of_range(board, lot.assay):
        return None
    return Refusal(code=RefusalCode.OUT_OF_TEMPERATURE, subject=UNWITNESSED)
