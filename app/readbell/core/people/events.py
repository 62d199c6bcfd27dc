"""Operators and persons become known to the bay, and what is said about persons.

Whatever names somebody, or is about their health, lies on the erasable side.
"""

from __future__ import annotations

from readbell.core.instant import Instant
from readbell.core.made_later import dataclass
from readbell.core.people.particulars import (
    ConsentBy,
    ConsentHow,
    DeclineReason,
    LeaveReason,
    OfParty,
    Particular,
    ToldTo,
)
from readbell.core.private import Private


@dataclass(frozen=True, slots=True, kw_only=True)
class OperatorRegistered:
    """Somebody may act here; other events name them by the key alone."""

    at: Instant
    by: str | None
    operator: Private


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonRegistered:
    """Somebody is here to be tested; other events name them by the key alone."""

    at: Instant
    by: str | None
    person: Private


@dataclass(frozen=True, slots=True, kw_only=True)
class PartyRegistered:
    """People came together; its name may be erased as a person's may."""

    at: Instant
    by: str | None
    party: Private
    persons: tuple[str, ...]
    """Keys of the persons, in the order in which they are to be tested."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ParticularNoted:
    """Something about a person was entered; what was entered before stays on record."""

    at: Instant
    by: str | None
    person: str
    what: Particular
    value: Private


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsentNoted:
    """Consent was given; the last word counts."""

    at: Instant
    by: str
    person: str
    giver: ConsentBy
    how: ConsentHow
    assays: tuple[str, ...]
    """Ids of the assays it is for; none named: whatever is run in this visit."""
    told_to: ToldTo
    words: Private | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsentRefused:
    """There is no consent: the visit ends."""

    at: Instant
    by: str
    person: str
    reason: DeclineReason
    words: Private | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SymptomsNoted:
    """Whether there are symptoms, and since when."""

    at: Instant
    by: str
    person: str
    present: bool
    onset: Private | None
    """The first day of them, as ISO 8601 has it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartyNoted:
    """Where a party waits, or what is to be known about it; the last word counts."""

    at: Instant
    by: str | None
    party: str
    what: OfParty
    value: Private


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelledAhead:
    """A device was labelled for somebody before their turn; its pouch is shut and no clock runs."""

    at: Instant
    by: str
    person: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonLeft:
    """Somebody who was entered is gone, and nothing was begun for them: nobody waits for them."""

    at: Instant
    by: str
    person: str
    reason: LeaveReason
    words: Private | None


PatientEvent = (
    ParticularNoted
    | ConsentNoted
    | ConsentRefused
    | SymptomsNoted
    | PartyNoted
    | LabelledAhead
    | PersonLeft
)
