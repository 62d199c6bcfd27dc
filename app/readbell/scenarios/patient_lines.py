"""Lines about those who are tested: what they are known by, consent, symptoms."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from readbell.core.people.file import day_of
from readbell.core.people.particulars import (
    ConsentBy,
    ConsentHow,
    DeclineReason,
    LeaveReason,
    Particular,
    ToldTo,
)
from readbell.scenarios.act_table import Name
from readbell.toml_tables import Table

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

MOST_ASSAYS = 50


def _as_day(written: str) -> str:
    if day_of(written) is None:
        msg = 'write a day that exists, as "1980-02-03"'
        raise ValueError(msg)
    return written


def _as_list(written: object) -> object:
    if not isinstance(written, (list, tuple)) or not 0 < len(written) <= MOST_ASSAYS:
        msg = f'write a list of 1 to {MOST_ASSAYS} assays, as ["A", "B"]'
        raise ValueError(msg)
    return tuple(written)


BirthDate = Annotated[Name, AfterValidator(_as_day)]
Assays = Annotated[tuple[Name, ...], BeforeValidator(_as_list)]


class KnownBy(Table):
    """What a person is known by, or reached by, beside the ID; each key may be left out."""

    name: Name | None = None
    born: BirthDate | None = None
    contact: Name | None = None

    def particulars(self) -> Iterator[tuple[Particular, str]]:
        """Yield what was said."""
        for what, said in (
            (Particular.NAME, self.name),
            (Particular.BIRTH_DATE, self.born),
            (Particular.CONTACT, self.contact),
        ):
            if said is not None:
                yield what, said


class PersonLine(KnownBy):
    """Register a person to be tested, with what is known of them."""

    do: Literal["register-person"]
    id: Name
    by: Name


class NotePersonLine(KnownBy):
    """Enter what somebody who is registered is known by."""

    do: Literal["note-person"]
    by: Name
    person: Name

    @model_validator(mode="before")
    @classmethod
    def _says_something(cls, found: Any) -> Any:
        if isinstance(found, dict) and not found.keys() & KnownBy.model_fields.keys():
            msg = "say name, born or contact: one of them at least"
            raise ValueError(msg)
        return found


class ConsentTable(Table):
    """That somebody consents, and to whom the result may be told."""

    giver: Annotated[ConsentBy, Field(strict=False)]
    how: Annotated[ConsentHow, Field(strict=False)]
    told_to: Annotated[ToldTo, Field(strict=False)]
    assays: Assays = ()
    """Left out: whatever is run in this visit."""


class ConsentLine(ConsentTable):
    """Enter that somebody consents."""

    do: Literal["note-consent"]
    by: Name
    person: Name
    words: Name | None = None


class RefuseConsentLine(Table):
    """Enter that there is no consent: the visit ends."""

    do: Literal["refuse-consent"]
    by: Name
    person: Name
    reason: Annotated[DeclineReason, Field(strict=False)]
    words: Name | None = None


class SymptomsLine(Table):
    """Enter whether there are symptoms, and since when."""

    do: Literal["note-symptoms"]
    by: Name
    person: Name
    present: bool
    onset: BirthDate | None = None

    @model_validator(mode="after")
    def _goes_together(self) -> SymptomsLine:
        if self.onset is not None and not self.present:
            msg = "onset does not go with present = false: take it out"
            raise ValueError(msg)
        return self


class NotePartyLine(Table):
    """Enter where a party waits, or what is to be known about it."""

    do: Literal["note-party"]
    by: Name
    party: Name
    lane: Name | None = None
    note: Name | None = None

    @model_validator(mode="after")
    def _says_something(self) -> NotePartyLine:
        if self.lane is None and self.note is None:
            msg = "say lane or note: one of them at least"
            raise ValueError(msg)
        return self


class LabelAheadLine(Table):
    """Write a label for somebody before their turn; the pouch stays shut."""

    do: Literal["label-ahead"]
    by: Name
    person: Name
    cartridge: Name


class LeftLine(Table):
    """Enter that somebody has left before anything was begun for them, or all of a party who wait."""

    do: Literal["note-left"]
    by: Name
    person: Name | None = None
    party: Name | None = None
    reason: Annotated[LeaveReason, Field(strict=False)]
    words: Name | None = None

    @model_validator(mode="after")
    def _says_who(self) -> LeftLine:
        if (self.person is None) == (self.party is None):
            msg = "say who has left: person or party, one of them"
            raise ValueError(msg)
        return self


PatientLine = (
    NotePersonLine
    | ConsentLine
    | RefuseConsentLine
    | SymptomsLine
    | NotePartyLine
    | LabelAheadLine
    | LeftLine
)

PATIENT_LINES: Mapping[str, type[PatientLine]] = {
    "note-person": NotePersonLine,
    "note-consent": ConsentLine,
    "refuse-consent": RefuseConsentLine,
    "note-symptoms": SymptomsLine,
    "note-party": NotePartyLine,
    "label-ahead": LabelAheadLine,
    "note-left": LeftLine,
}
"""By what they ask for."""
