"""A party: people who come together, such as a vehicle or a household."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.instant import Instant
    from readbell.core.private import Private


@dataclass(frozen=True, slots=True, kw_only=True)
class Party:
    """Who came together, in the order in which they are to be tested."""

    key: str
    persons: tuple[str, ...]
    """Keys of the persons, each once."""
    at: Instant
    """When the party was registered."""
    at_lane: Private | None = None
    """Where it waits, in the site's own words; None: nobody said."""
    noted: Private | None = None
    """What is to be known about it; None: nobody said."""

    @property
    def lane(self) -> str | None:
        """Where it waits; None: nobody said, or it is erased."""
        return None if self.at_lane is None else self.at_lane.value

    @property
    def note(self) -> str | None:
        """What is to be known about it; None: nobody said, or it is erased."""
        return None if self.noted is None else self.noted.value
