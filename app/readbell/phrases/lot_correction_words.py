"""A lot that was entered wrongly and corrected, in words: what stood, what stands, what it touches."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.wall_time import wall_of
from readbell.phrases.standing import labels

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.stock.events import LotCorrected

ERASED = "erased"


def say_lot_correction(event: LotCorrected, board: Board) -> str:
    """Return the line for a correction: both values, who says so, and what was begun too late."""
    said = f"Lot {event.number} corrected by {board.name(event.by) or ERASED}: {say_values(event, board)}."
    if event.ends is not None and wall_of(board, event.at) >= event.ends:
        said += " That day is past: it gives no more cartridges."
    if event.cartridges:
        said += (
            f" Begun after it: {labels(board, event.cartridges)}. "
            "Their results wait for a supervisor."
        )
    runs = [run.label for each in event.paper_runs if (run := board.paper_runs.get(each))]
    if runs:
        said += (
            f" Run on paper after it: {', '.join(runs)}. Leave to a supervisor whether that stands."
        )
    return said


def say_values(event: LotCorrected, board: Board) -> str:
    """Return what stood and what stands instead, as part of a sentence."""
    return ", ".join(_values(event, board)) or "what its item number stands for"


def _values(event: LotCorrected, board: Board) -> Iterator[str]:
    if event.expires != event.expires_before:
        how = ", off the code of the box" if event.is_scanned else ""
        yield f"good to {event.expires}, not to {event.expires_before}{how}"
    if event.assay != event.assay_before:
        right, wrong = (board.assays[each].assay.id for each in (event.assay, event.assay_before))
        yield f"for {right}, not for {wrong}"
