"""What happens to control materials and to the samples taken from them."""

from __future__ import annotations

from datetime import date

from readbell.core.controls.material import SampleKind
from readbell.core.controls.verdict import Verdict
from readbell.core.instant import Instant
from readbell.core.made_later import dataclass
from readbell.core.reading.interpretation import LineOutcome


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialReceived:
    """A control material, or a blind sample, came in."""

    at: Instant
    by: str | None
    number: str
    kind: SampleKind
    assay_id: str
    """Of no one file: a new version of it changes nothing."""
    expires: date
    expected: tuple[LineOutcome, ...]
    good_after_opening: int | None
    """Days."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialOpened:
    """A bottle of a control material was opened."""

    at: Instant
    by: str
    number: str
    on: date
    """The site's day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleJudged:
    """The strip of a control sample was read and held against what it had to show.

    A failed one puts its lot on hold. A corrected reading is judged again.
    """

    at: Instant
    by: str
    cartridge: str
    material: str
    """Its number."""
    lot: str
    verdict: Verdict
    concerned: tuple[str, ...]
    """For a failed one: patients' cartridges of the lot since a sample of its kind last passed."""


SampleEvent = MaterialReceived | MaterialOpened | SampleJudged
