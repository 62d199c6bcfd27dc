"""What every form of export is made of: one result with all that belongs to it, in words and codes.

Nothing here looks anything up: whoever makes a `Report` has done so already.
"""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING
from uuid import UUID, uuid5

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from datetime import date, datetime

    from readbell.core.exports.events import ExportedResult
    from readbell.core.reading.interpretation import Outcome
    from readbell.core.results.status import ResultStatus

BAYS = UUID("5b1f0c52-7f0a-5a0e-9c37-2d8f3f6b7a11")
"""Under this name every bay has its own; chosen once, and never to be changed."""


def namespace_of(first: bytes) -> UUID:
    """Return the namespace of the bay whose record begins with the event of this hash."""
    return uuid5(BAYS, first.hex())


@dataclass(frozen=True, slots=True, kw_only=True)
class Names:
    """What the site calls things outside: see `[export]` in its settings."""

    patient_system: str | None = None
    """A URI under which its patient IDs are unique; None: one made for this bay."""
    operator_system: str | None = None
    organisation: str | None = None
    """What the site is called; None: the bay's name."""
    sending_application: str = "READBELL"
    sending_facility: str | None = None
    receiving_application: str = ""
    receiving_facility: str = ""
    patient_authority: str | None = None
    """Who gives patient IDs, in one word, for HL7; None: the sending facility."""
    withdrawn: str = "W"
    """What the receiver takes a withdrawn result as: W or X of table 0085."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Origin:
    """From where and when an export comes."""

    bay: str
    namespace: UUID
    rehearsal: bool
    made: datetime
    """When the file was made, with its offset."""
    program: str
    names: Names = field(default_factory=Names)

    def uuid(self, kind: str, key: str) -> UUID:
        """Return the same number for the same thing, whenever it leaves."""
        return uuid5(self.namespace, f"{kind}:{key}")


@dataclass(frozen=True, slots=True, kw_only=True)
class When:
    """A moment of the work, in the site's time with its offset."""

    said: datetime
    earliest: datetime
    latest: datetime
    stated: bool
    """Stated, not timed: it was somewhere between `earliest` and `latest`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """Somebody: the key that the record knows them by, and their ID unless it is erased."""

    key: str
    id: str | None = field(repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Patient(Named):
    """Who was tested."""

    name: str | None = field(default=None, repr=False)
    born: date | None = field(default=None, repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """The lot that a cartridge was of."""

    lot: str
    expires: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """What is said of one analyte."""

    key: str
    mark: str
    name: str
    loinc: str | None
    outcome: Outcome | None
    """None: there is no value."""
    says: str
    """The outcome in one word, or why there is none."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """One result of one patient, as it stands."""

    id: str
    """Opaque: of the cartridge, or of the run on paper."""
    label: str
    patient: Patient
    reader: Named | None
    kit: Kit
    assay_id: str
    assay: str
    specimen: str
    """The kind of specimen, in the assay's words."""
    specimen_id: str
    """Opaque."""
    specimen_code: str | None
    """Of SNOMED CT, from the assay's file."""
    begun: datetime
    collected: When | None
    applied: When | None
    read: datetime | None
    issued: datetime
    """When it came to stand as it does."""
    status: ResultStatus
    lapsed: bool
    """The window closed unread: a line without a value was never read."""
    left: ExportedResult
    """What is put on record of it."""
    lines: tuple[Line, ...]
    outcome: Outcome | None
    says: str
    notes: tuple[str, ...]
    deviations: tuple[str, ...]
    """What was not kept of the assay's waits: a code, and how long the wait was, in seconds."""
    repeat_of: str | None
    """The label of what it repeats."""
    is_of_visit: bool
    """Whether it is the one reportable result of its visit."""
    earlier: tuple[Report, ...] = ()
    """What came to nothing in the same visit and is listed under it, the oldest first."""
