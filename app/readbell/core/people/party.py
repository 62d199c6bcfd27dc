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
    cartridges_before: int
    """How many cartridges had been labelled by then: what has a later number came after it."""
