"""What may be said about a person who is tested."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from datetime import date

    from readbell.core.instant import Instant
    from readbell.core.people.particulars import (
        ConsentBy,
        ConsentHow,
        DeclineReason,
        LeaveReason,
        Particular,
        ToldTo,
    )
    from readbell.core.private import Private


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteParticulars:
    """Enter what a person is known by, or reached by."""

    by: str = field(repr=False)
    person: str = field(repr=False)
    particulars: tuple[tuple[Particular, Private], ...]
    today: date
    """The site's date: nobody is born after it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteConsent:
    """Enter that somebody consents."""

    by: str = field(repr=False)
    person: str = field(repr=False)
    giver: ConsentBy
    how: ConsentHow
    assays: tuple[str, ...]
    """Ids; none: whatever is run in this visit."""
    told_to: ToldTo
    words: Private | None
    today: date
    """The site's date, against which a person's age is held."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RefuseConsent:
    """Enter that there is no consent."""

    by: str = field(repr=False)
    person: str = field(repr=False)
    reason: DeclineReason
    words: Private | None


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteSymptoms:
    """Enter whether there are symptoms."""

    by: str = field(repr=False)
    person: str = field(repr=False)
    present: bool
    onset: Private | None
    today: date
    """The site's date: they began on it or before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteParty:
    """Enter where a party waits, or what is to be known about it."""

    by: str = field(repr=False)
    party: str = field(repr=False)
    """What the site calls it."""
    lane: Private | None
    note: Private | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelAhead:
    """Write a label for somebody before their turn, and leave the pouch shut."""

    by: str = field(repr=False)
    person: str = field(repr=False)
    label: str = field(repr=False)
    day_began: Instant
    """When the site's day began: a label is written ahead for one day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteLeft:
    """Enter that somebody who was entered has left, or all of a party who still wait."""

    by: str = field(repr=False)
    person: str | None = field(repr=False)
    party: str | None = field(repr=False)
    """What the site calls it; one of both is said."""
    reason: LeaveReason
    words: Private | None


PatientAct = (
    NoteParticulars | NoteConsent | RefuseConsent | NoteSymptoms | NoteParty | LabelAhead | NoteLeft
)

NAMES: dict[type, str] = {
    NoteParticulars: "note-person",
    NoteConsent: "note-consent",
    RefuseConsent: "refuse-consent",
    NoteSymptoms: "note-symptoms",
    NoteParty: "note-party",
    LabelAhead: "label-ahead",
    NoteLeft: "note-left",
}
