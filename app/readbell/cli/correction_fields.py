"""A lot that was corrected, as JSON: alike in a list of lots and on a day sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.stock.events import LotCorrected


def correction_fields(event: LotCorrected, board: Board) -> dict[str, Any]:
    """Return what stood of a lot, what stands instead, and who said so."""
    return {
        "by": board.name(event.by),
        "expires": event.expires.isoformat(),
        "expires_before": event.expires_before.isoformat(),
        "assay": board.assays[event.assay].assay.id,
        "assay_before": board.assays[event.assay_before].assay.id,
    }
