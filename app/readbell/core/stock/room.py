"""What is known of the stock as a whole, beside each lot."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.stock.events import (
        BufferUsed,
        GtinTied,
        LotCorrected,
        LotDoubted,
        LotRecalled,
        UnitsCounted,
        UnitsLost,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class StockRoom:
    """The ledger behind the lots."""

    ties: Mapping[str, GtinTied] = field(default_factory=dict)
    """By trade item number, what its boxes were said to hold last."""
    losses: tuple[UnitsLost, ...] = ()
    counts: tuple[UnitsCounted, ...] = ()
    recalls: tuple[LotRecalled, ...] = ()
    corrections: tuple[LotCorrected, ...] = ()
    after_recall: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """By number of the lot, opaque ids of cartridges that were labelled at a station that was
    alone and could not know that the lot was called back."""
    doubts: Mapping[str, LotDoubted] = field(default_factory=dict)
    """By the opaque id of the cartridge."""
    buffers: Mapping[str, BufferUsed] = field(default_factory=dict)
    """By the opaque id of the cartridge."""

    @property
    def gtins(self) -> Mapping[str, str]:
        """Trade item number to the id of the assay its boxes were said to hold."""
        return {number: tie.assay_id for number, tie in self.ties.items()}


EMPTY = StockRoom()
"""Nothing came in yet."""
