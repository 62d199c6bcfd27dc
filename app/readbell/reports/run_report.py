"""What a rehearsal run by itself came to, as one JSON object: a stable contract.

Times are seconds after the scenario's start, milliseconds as decimals; what is
absent is null.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from readbell.core.board.subjects import is_patients
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.instant import Instant, between, seconds
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.cartridge.events import AlertRaised
    from readbell.core.refusal import RefusalCode


@dataclass(frozen=True, slots=True, kw_only=True)
class ActLine:
    """One act and what became of it."""

    at: Instant
    refusal: RefusalCode | None
    says: str


def run_report(
    *,
    title: str,
    starts: Instant,
    ends: Instant,
    acts: Sequence[ActLine],
    alerts: Sequence[AlertRaised],
    board: Board,
    events: int,
    head: str,
) -> dict[str, Any]:
    """Return the report of one run.

    Args:
        title: the scenario's.
        starts: the instant that counts as 0 s.
        ends: when the run was over; stages are as they were then.
        acts: in the order they were made.
        alerts: in the order they were announced.
        board: as it is at the end.
        events: how many the journal holds.
        head: the journal's last hash, in hex.
    """
    return {
        "title": title,
        "acts": [
            {
                "n": place,
                "at_s": _seconds(starts, act.at),
                "accepted": act.refusal is None,
                "refusal": None if act.refusal is None else str(act.refusal),
                "says": act.says,
            }
            for place, act in enumerate(acts)
        ],
        "alerts": [
            {
                "at_s": _seconds(starts, alert.at),
                "cartridge": _label(board, alert.cartridge),
                "kind": str(alert.alert),
            }
            for alert in alerts
        ],
        "cartridges": [_cartridge(each, board, starts, ends) for each in board.in_order()],
        "journal": {"events": events, "head": head},
    }


def _cartridge(
    cartridge: Cartridge, board: Board, starts: Instant, ends: Instant
) -> dict[str, Any]:
    applied, reading = cartridge.applied, cartridge.reading
    early = cartridge.early_looks[0] if cartridge.early_looks else None
    repeated = cartridge.labelled.repeat_of
    outcomes = {each.line: str(each.outcome) for each in cartridge.outcomes}
    return {
        "cartridge": cartridge.label,
        "person": board.name(cartridge.labelled.subject) if is_patients(cartridge) else None,
        "lot": cartridge.labelled.lot,
        "stage": str(stage_at(cartridge, ends)),
        "outcome": None if cartridge.outcome is None else str(cartridge.outcome),
        "analytes": {line: outcomes.get(line) for line in cartridge.assay.line_keys},
        "applied_s": None if applied is None else _seconds(starts, applied.said),
        "read_s": None if reading is None else _seconds(starts, reading.at),
        "elapsed_s": (
            None if reading is None or applied is None else _seconds(applied.said, reading.at)
        ),
        "early_positive_s": (
            None if early is None or applied is None else _seconds(applied.said, early.at)
        ),
        "operator": None if reading is None else board.name(reading.by),
        "repeat_of": None if repeated is None else _label(board, repeated),
        "deviations": [
            {"code": each.code, "seconds": seconds(each.span)} for each in cartridge.deviations
        ],
    } | _of_sample(cartridge, board)


def _of_sample(cartridge: Cartridge, board: Board) -> dict[str, Any]:
    """Return what is added for a control sample alone: its number, and what it came to."""
    if is_patients(cartridge):
        return {}
    judged = board.samples.judged.get(cartridge.id)
    return {
        "sample": board.name(cartridge.labelled.subject),
        "verdict": None if judged is None else str(judged.verdict),
    }


def _seconds(start: Instant, at: Instant) -> float:
    return seconds(between(start, at))


def _label(board: Board, cartridge_id: str) -> str | None:
    found = board.cartridge(cartridge_id)
    return None if found is None else found.label
