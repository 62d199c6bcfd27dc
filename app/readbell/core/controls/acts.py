"""What an operator asks for about control materials."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from datetime import date

    from readbell.core.controls.material import SampleKind
    from readbell.core.reading.interpretation import LineOutcome


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceiveMaterial:
    """Enter a control material or a blind sample."""

    by: str | None = field(repr=False)
    number: str
    kind: SampleKind
    assay: str
    """The assay's id, adopted before."""
    expires: date
    expected: tuple[LineOutcome, ...] = ()
    """By key or printed letter; empty: as is usual for its kind."""
    good_after_opening: int | None = None
    """Days."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenMaterial:
    """Open a bottle of a control material."""

    by: str = field(repr=False)
    number: str
    today: date


SampleAct = ReceiveMaterial | OpenMaterial

NAMES: dict[type, str] = {
    ReceiveMaterial: "receive-sample",
    OpenMaterial: "open-sample",
}
"""What a near miss is recorded under; part of the record, never changed."""
