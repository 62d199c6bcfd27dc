"""What happens to those who work here. Operators are named by their keys."""

from __future__ import annotations

from dataclasses import field
from datetime import date
from enum import StrEnum

from readbell.core.instant import Instant
from readbell.core.made_later import dataclass
from readbell.core.making import LATER
from readbell.core.staff.roles import Role


class Proof(StrEnum):
    """By what somebody made known who they are."""

    BADGE = "badge"
    PIN = "pin"
    """A badge or an ID, and the PIN that goes with it."""


class Opened(StrEnum):
    """What of a person's record was opened."""

    HISTORY = "history"
    TRACE = "trace"
    EXPORT = "export"


@dataclass(frozen=True, slots=True, kw_only=True)
class RolesGiven:
    """From here on an operator has these roles and no others."""

    at: Instant
    by: str | None
    operator: str
    roles: tuple[Role, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class OperatorRetired:
    """Somebody works here no more; what they did keeps their name."""

    at: Instant
    by: str
    operator: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PinSet:
    """An operator has a new PIN. Neither it nor its hash is in the record."""

    at: Instant
    by: str
    operator: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedIn:
    """Somebody signed in at the station."""

    at: Instant
    operator: str
    proof: Proof


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedOut:
    """Somebody signed out."""

    at: Instant
    operator: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StationLocked:
    """Nobody touched the station for long: everybody there has to sign in again."""

    at: Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class OperatorUnlocked:
    """A supervisor gave back the right to sign in after too many wrong PINs."""

    at: Instant
    by: str
    operator: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CompetenceStated:
    """An operator is cleared for an assay until the end of a day."""

    at: Instant
    by: str
    operator: str
    assay_id: str
    """Of no one file: a new version of it asks for no new clearance by itself."""
    until: date
    vision_checked: date | None
    """When it was checked that they see faint lines and colours as others do."""
    own: bool
    """Own review: nobody else works here."""
    practised: tuple[str, ...] = field(default=(), metadata=LATER)
    """Heads of the journals of the attempts at rehearsals it rests on, in hex."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StartSupervised:
    """A supervisor stood by as somebody started a cartridge who is not cleared for its assay."""

    at: Instant
    by: str
    witness: str
    cartridge: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordOpened:
    """Somebody looked up what is on record of a person."""

    at: Instant
    by: str
    person: str
    what: Opened
    since: Instant | None
    """How far back they saw; None: all of it."""


StaffEvent = (
    RolesGiven
    | OperatorRetired
    | PinSet
    | SignedIn
    | SignedOut
    | StationLocked
    | OperatorUnlocked
    | CompetenceStated
    | StartSupervised
    | RecordOpened
)
