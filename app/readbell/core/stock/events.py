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
