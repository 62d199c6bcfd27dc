"""A run on paper becomes part of the record, beside those that were timed and never among them."""

from __future__ import annotations

from enum import StrEnum

from readbell.core.cartridge.events import Deviation
from readbell.core.instant import Instant, Span
from readbell.core.made_later import dataclass
from readbell.core.reading.bands import Bands
from readbell.core.reading.interpretation import LineOutcome, Outcome


class PaperFault(StrEnum):
    """Why nothing counts of what was seen, by the times that were stated."""

    READ_TOO_EARLY = "read-too-early"
    READ_TOO_LATE = "read-too-late"
    WAIT_NOT_KEPT = "wait-not-kept"
    """A firm limit of the assay, or it may have been broken within the doubt."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedStep:
    """One step, and when it was done as two people state it."""

    step: str
    said: Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperRunEntered:
    """A whole run was entered from paper. Its times are stated, not timed; `at` is when it was told.

    No reading of it has an instant of its own: it stands in no timing figure, calls
    nobody, and is no cartridge of the board.
    """

    at: Instant
    by: str
    """Key of who entered it."""
    run: str
    """Its own opaque id."""
    operator: str
    """Key of who ran it and read it."""
    witness: str
    """Key of who vouches for the times beside them."""
    label: str
    person: str
    lot: str
    assay: str
    steps: tuple[StatedStep, ...]
    read: Instant
    give_or_take: Span
    """Each of the times may be so far off, either way."""
    bands: Bands
    outcomes: tuple[LineOutcome, ...]
    outcome: Outcome
    fault: PaperFault | None
    """Then nothing of what was seen counts: invalid, to be repeated."""
    deviations: tuple[Deviation, ...]
    """Advisory limits that were not kept, or may not have been."""
    warnings: tuple[str, ...]
    """What stood against its lot when it was entered."""
