"""A party: people who come together, such as a vehicle or a household."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from readbell.core.instant import Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class Party:
    """Who came together, in the order in which they are to be tested."""

    key: str
    persons: tuple[str, ...]
    """Keys of the persons, each once."""
    at: Instant
    """When the party was registered."""
    lane: str | None = None
    """Where it waits, in the site's own words; None: nobody said, or it is erased."""
    note: str | None = None
    """What is to be known about it."""
