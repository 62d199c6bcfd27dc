"""What is entered from paper."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from datetime import date

    from readbell.core.instant import Instant, Span
    from readbell.core.reading.bands import Bands


@dataclass(frozen=True, slots=True, kw_only=True)
class EnterPaperRun:
    """Enter a run that was done on paper, with the times that stand there."""

    by: str = field(repr=False)
    new_id: str
    operator: str = field(repr=False)
    witness: str = field(repr=False)
    label: str = field(repr=False)
    person: str = field(repr=False)
    lot: str
    steps: tuple[tuple[str, Instant], ...]
    """Key of each step and when it was done; all of them, in the assay's order."""
    read: Instant
    give_or_take: Span
    bands: Bands
    today: date
    day_began: Instant
    """When the site's day began: a label is used once in a day."""
