"""What stands against a start beside the lot's own state: cold kits, old boxes, control samples, heat.

Each is for the site to be strict about or not. What is only warned of stays with
the cartridge as a code.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.controls_due import overdue_for
from readbell.core.board.temperature import OUT_OF_RANGE, places_out_of_range
from readbell.core.policy.stocking import Strictness
from readbell.core.policy.temperature import OutsideTemperature
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.stock.warming import is_cold, warm_from

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date

    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.stock.lot import Lot

COLD_KIT = "cold-kit"
OPENED_TOO_LONG = "opened-too-long"
CONTROLS_OVERDUE = "controls-overdue"


def stands_against(
    board: Board, lot: Lot, operator: str, *, for_patient: bool, today: date, now: Instant
) -> tuple[str, ...] | Refusal:
    """Return the warnings that a start on `lot` would bear, or why the site refuses it.

    Control samples are what the check of them asks for, and may show what cold or heat did to
    the kits: neither that check nor the temperature holds up anybody but patients.
    """
    warnings: list[str] = []
    for code, strictness, refusal in _objections(board, lot, operator, for_patient, today, now):
        if strictness is Strictness.REFUSE:
            return refusal
        warnings.append(code)
    return tuple(warnings)


def _objections(
    board: Board, lot: Lot, operator: str, for_patient: bool, today: date, now: Instant
) -> Iterator[tuple[str, Strictness, Refusal]]:
    policy = board.policy
    warm_up = board.assays[lot.assay].assay.temperatures.warm_up
    if is_cold(lot, warm_up, now):
        refusal = Refusal(
            code=RefusalCode.KIT_COLD,
            subject=lot.number,
            due=warm_from(lot, warm_up),
            limit=warm_up,
        )
        yield COLD_KIT, policy.cold_kits, refusal
    if today > lot.good_until:
        refusal = Refusal(
            code=RefusalCode.BOX_OPENED_TOO_LONG, subject=f"{lot.number} ({lot.good_until})"
        )
        yield OPENED_TOO_LONG, policy.opened_too_long, refusal
    if for_patient:
        overdue = overdue_for(board, lot, operator, now)
        if overdue:
            kinds = ", ".join(dict.fromkeys(str(each.kind) for each in overdue))
            refusal = Refusal(code=RefusalCode.CONTROLS_DUE, subject=f"{lot.number}: {kinds}")
            yield CONTROLS_OVERDUE, policy.controls_overdue, refusal
    for noted in places_out_of_range(board, lot.assay)[:1]:
        refuses = for_patient and policy.outside_temperature is OutsideTemperature.REFUSED
        refusal = Refusal(
            code=RefusalCode.OUT_OF_TEMPERATURE, subject=f"{noted.where}: {noted.celsius:g} °C"
        )
        yield OUT_OF_RANGE, Strictness.REFUSE if refuses else Strictness.WARN, refusal
