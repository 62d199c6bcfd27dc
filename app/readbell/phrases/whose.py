"""For whom or for what a cartridge is run, in words: a person, or a control sample."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.subjects import is_patients, material_of
from readbell.core.controls.material import SampleKind

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge

KINDS: dict[SampleKind, str] = {
    SampleKind.POSITIVE: "control sample, positive",
    SampleKind.NEGATIVE: "control sample, negative",
    SampleKind.BLIND: "blind sample",
}
SHORT: dict[SampleKind, str] = {
    SampleKind.POSITIVE: "sample +",
    SampleKind.NEGATIVE: "sample -",
    SampleKind.BLIND: "sample ?",
}
"""Where a patient's ID would stand."""
WHOLE = 8
"""Cells that these words take."""
NARROW: dict[SampleKind, str] = {
    SampleKind.POSITIVE: "samp +",
    SampleKind.NEGATIVE: "samp -",
    SampleKind.BLIND: "samp ?",
}
"""The same where a column is narrower."""


def say_subject(cartridge: Cartridge, board: Board) -> str:
    """Return for whom or for what a cartridge is run."""
    material = material_of(board, cartridge)
    if material is None:
        return board.name(cartridge.labelled.subject) or "erased"
    return f"{KINDS[material.kind]}, {material.number}"


def say_short(cartridge: Cartridge, board: Board, cells: int = WHOLE) -> str | None:
    """Return the mark of a sample in at most `cells` cells; None for a patient's cartridge."""
    material = None if is_patients(cartridge) else material_of(board, cartridge)
    if material is None:
        return None
    return SHORT[material.kind] if cells >= WHOLE else NARROW[material.kind]
