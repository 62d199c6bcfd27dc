"""What happens to lots."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from readbell.core.instant import Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class LotReceived:
    """A batch of kits came in."""

    at: Instant
    by: str | None
    number: str
    assay: str
    expires: date
    units: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LotHeld:
    """No new cartridge may be taken from this lot until it is released."""

    at: Instant
    by: str | None
    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LotOpened:
    """A box of this lot stands open at the bench: new cartridges are taken from it."""

    at: Instant
    by: str
    number: str
