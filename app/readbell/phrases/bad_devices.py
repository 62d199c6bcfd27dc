"""Pouches and devices of a lot that were found bad, in words: one happens, several are a sign."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.phrases.counted import counted

if TYPE_CHECKING:
    from readbell.core.stock.lot import Lot

SEVERAL = 2
"""So many bad ones of a lot are told of (our own choice)."""


def count_bad(many: int) -> str:
    """Return how many bad devices there were."""
    return counted(many, "bad device")


def say_bad(lot: Lot) -> str:
    """Return what several bad devices of a lot call for; nothing of fewer."""
    if lot.bad < SEVERAL:
        return ""
    return (
        f"{count_bad(lot.bad)} of lot {lot.number} so far. Look its box over, and run control "
        "samples on it before more of it is opened, or put it on hold."
    )
