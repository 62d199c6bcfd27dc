"""The board and the plain model, each written as the same plain values."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from readbell.core.board.alarm import muted_until
from readbell.core.board.label import TWO_INVALIDS
from readbell.core.board.to_start import to_start
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.cartridge.looks import as_at

if TYPE_CHECKING:
    from machine.plain_bay import Bay
    from machine.plain_cartridge import Cartridge as Plain
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant

Doc = dict[str, Any]


def board_of(board: Board, now: Instant) -> Doc:
    """Write down what a board says at `now`."""
    muted = muted_until(board, now)
    return {
        "operators": set(board.operators),
        "persons": set(board.persons),
        "parties": [board.name(key) for key in board.parties],
        "waiting": [board.name(key) for key in to_start(board)],
        "assays": [each.assay.id for each in board.assays.values()],
        "lots": {number: (lot.used, lot.on_hold) for number, lot in board.lots.items()},
        "open": board.open_lot,
        "cartridges": [_row(board, each, now) for each in board.in_order()],
        "heard": {
            board.cartridge(key).labelled.label: str(each.alert)  # type: ignore[union-attr]
            for key, each in board.heard.items()
        },
        "muted": muted,
        "alarm": None if board.alarm_test is None else board.alarm_test.heard,
    }


def plain_of(bay: Bay) -> Doc:
    """Write down what the model says now."""
    muted = bay.muted_until
    return {
        "operators": bay.operators,
        "persons": bay.persons,
        "parties": list(bay.parties),
        "waiting": bay.waiting(),
        "assays": list(bay.assays),
        "lots": {number: (lot.used, lot.held) for number, lot in bay.lots.items()},
        "open": bay.open_lot,
        "cartridges": [_plain_row(each, bay.now) for each in bay.cartridges.values()],
        "heard": bay.heard,
        "muted": muted if muted is not None and bay.now < muted else None,
        "alarm": bay.alarm_heard,
    }


def difference(found: Doc, wanted: Doc) -> list[str]:
    """Say where the two part, field by field."""
    rows = zip(found["cartridges"], wanted["cartridges"], strict=False)
    pairs = [(found, wanted, "the bay"), *((a, b, b["label"]) for a, b in rows)]
    return [
        f"{whose}, {key}: {one[key]}, and the model says {other[key]}"
        for one, other, whose in pairs
        for key in other
        if one[key] != other[key] and key != "cartridges"
    ] + ([] if len(found["cartridges"]) == len(wanted["cartridges"]) else ["too many or few"])


def _row(board: Board, cartridge: Cartridge, now: Instant) -> Doc:
    late = as_at(cartridge, now)
    repeats = cartridge.labelled.repeat_of
    repeated = None if repeats is None else board.cartridge(repeats)
    wanted = cartridge.next_step
    return {
        "label": cartridge.label,
        "person": board.name(cartridge.labelled.subject),
        "stage": str(stage_at(cartridge, now)),
        "recorded as ended": cartridge.has_ended,
        "wanted": None if wanted is None else wanted.key,
        "done": [
            (mark.step, mark.done.said, mark.done.earliest, mark.done.latest)
            for mark in cartridge.marks
        ],
        "early": set(cartridge.early_lines),
        "outcomes": {each.line: str(each.outcome) for each in late.outcomes},
        "outcome": None if late.outcome is None else str(late.outcome),
        "deviations": [(each.code, each.span) for each in cartridge.deviations],
        "unsure": cartridge.unsure,
        "repeats": None if repeated is None else repeated.label,
        "warned": TWO_INVALIDS in cartridge.labelled.warnings,
    }


def _plain_row(found: Plain, now: int) -> Doc:
    return {
        "label": found.label,
        "person": found.person,
        "stage": found.stage(now),
        "recorded as ended": found.ended,
        "wanted": found.wanted,
        "done": [(each.step, each.said, each.earliest, each.latest) for each in found.done],
        "early": found.early,
        "outcomes": found.analytes(now),
        "outcome": found.outcome(now),
        "deviations": found.deviations,
        "unsure": found.unsure,
        "repeats": found.repeats,
        "warned": found.warned,
    }
