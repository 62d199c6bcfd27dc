"""What may be asked about the plan a bay goes by."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.instant import Span
    from readbell.core.starts.events import PlannedBreak, PlannedStart


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadPlan:
    """Go by this plan from now on."""

    by: str = field(repr=False)
    assay: str
    """The id of an adopted assay."""
    starts: tuple[PlannedStart, ...]
    ends: Span
    breaks: tuple[PlannedBreak, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class DropPlan:
    """Go by no plan."""

    by: str = field(repr=False)


StartsAct = LoadPlan | DropPlan

STARTS_NAMES: dict[type, str] = {LoadPlan: "load-plan", DropPlan: "drop-plan"}
"""What a near miss is recorded under; part of the record, never changed."""
