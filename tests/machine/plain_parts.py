"""What a plain bay is made of: a batch of kits, one look at the clocks, and what an act is aimed at."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date

    from machine.plain_cartridge import Assay

SECOND, MINUTE, DAY = 1_000, 60_000, 86_400_000
Code = str | None
"""Why an act is refused; None: it is taken."""


@dataclass
class Lot:
    """A batch of kits."""

    assay: Assay
    expires: date
    units: int | None
    used: int = 0
    held: bool = False
    scanned: bool = False
    """Its last day was read off the code of a box."""

    @property
    def used_up(self) -> bool:
        """Whether the box is empty."""
        return self.units is not None and self.used >= self.units

    def refuse(self, today: date) -> Code:
        """Say why no cartridge may be taken from it."""
        if self.held:
            return "lot-on-hold"
        if today > self.expires:
            return "lot-expired"
        return "lot-used-up" if self.used_up else None


@dataclass
class Clocks:
    """One look at every clock, milliseconds."""

    wall: int
    counting: int
    asleep: int
    boot: str
    known: bool = True

    @property
    def running(self) -> int:
        """The clock that stands still while the computer sleeps."""
        return self.counting - self.asleep


@dataclass
class Aim:
    """Who acts on which cartridge, and what was read off device and person."""

    by: str
    label: str
    scanned: str | None = None
    person: str | None = None


@dataclass
class Party:
    """Some who came together; those who were erased are still so many, and nobody by name."""

    name: str | None
    people: list[str | None]


@dataclass
class Consent:
    """Who said yes or no, when, for which assays, and to whom the result may be told."""

    at: int
    given: bool
    by_self: bool = False
    assays: list[str] = field(default_factory=list)
    told_to: str = "person"

    def covers(self, assay: str) -> bool:
        """Say whether it is a yes, and for this assay."""
        return self.given and (not self.assays or assay in self.assays)


@dataclass
class About:
    """What is known of somebody beside the ID."""

    name: str | None = None
    born: date | None = None
    consent: Consent | None = None
