"""The board and the plain model, each written as the same plain values."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from machine.plain_result import status, urgency
from readbell.core.board.alarm import muted_until
from readbell.core.board.label import TWO_INVALIDS
from readbell.core.board.review import awaiting_review
from readbell.core.board.to_start import to_start
from readbell.core.board.worklist import may_hear
from readbell.core.cartridge.at_instant import stage_at
from readbell.core.cartridge.looks import as_at
from readbell.core.results.result import result_of
from readbell.core.results.to_tell import urgency_of

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
        "gone": {board.name(key) for key in board.gone} - {None},
        "assays": [each.assay.id for each in board.assays.values()],
        "lots": {
            number: (lot.used, lot.on_hold, lot.expires, board.assays[lot.assay].assay.id)
            for number, lot in board.lots.items()
        },
        "open": board.open_lot,
        "open boxes": [*board.open_boxes.items()],
        "cartridges": [_row(board, each, now) for each in board.in_order()],
        "heard": {
            board.cartridge(key).labelled.label: str(each.alert)  # type: ignore[union-attr]
            for key, each in board.heard.items()
        },
        "new specimen": {board.name(key) for key in board.new_specimen},
        "owed": {board.ended[key].label for key in board.owed},
        "to review": [each.label for each in awaiting_review(board)],
        "to put right": {board.cartridge(key).label for key in board.to_put_right},  # type: ignore[union-attr]
        "muted": muted,
        "alarm": None if board.alarm_test is None else board.alarm_test.heard,
    }


def plain_of(bay: Bay) -> Doc:
    """Write down what the model says now."""
    muted = bay.muted_until
    return {
        "operators": bay.operators,
        "persons": bay.persons,
        "parties": [each.name for each in bay.parties],
        "waiting": bay.waits,
        "gone": set(bay.gone),
        "assays": list(bay.assays),
        "lots": {
            number: (lot.used, lot.held, lot.expires, lot.assay.id)
            for number, lot in bay.lots.items()
        },
        "open": bay.open_lot,
        "open boxes": [*bay.open_boxes.items()],
        "cartridges": [_plain_row(bay, each) for each in bay.cartridges.values()],
        "heard": bay.heard,
        "new specimen": bay.new_specimen,
        "owed": bay.owed(),
        "to review": [
            each.label
            for each in bay.cartridges.values()
            if each.held and each.ended and not each.withdrawn and (each.seen or each.early)
        ],
        "to put right": {
            each.label for each in bay.cartridges.values() if urgency(each) == "put-right"
        },
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
    result = result_of(cartridge)
    urgent = urgency_of(board.told.get(cartridge.id, ()), result)
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
        "held": {str(each) for each in cartridge.held},
        "result": str(result.status),
        "to tell": None if urgent is None else str(urgent),
        "may hear": {str(each) for each in may_hear(board, result)},
        "repeats": None if repeated is None else repeated.label,
        "warned": TWO_INVALIDS in cartridge.labelled.warnings,
    }


def _plain_row(bay: Bay, found: Plain) -> Doc:
    now = bay.now
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
        "held": found.held,
        "result": status(found),
        "to tell": urgency(found),
        "may hear": bay.may_hear(found) - {"office"},
        "repeats": found.repeats,
        "warned": found.warned,
    }
