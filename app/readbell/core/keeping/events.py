"""Somebody looked into the record, wrote a closed period out of it, or erased who is in it."""

from __future__ import annotations

from dataclasses import field
from enum import StrEnum

from readbell.core.instant import Instant
from readbell.core.made_later import dataclass
from readbell.core.making import LATER
from readbell.core.private import Private


class TraceOf(StrEnum):
    """What a trace follows, beside a person: of one of those `RecordOpened` tells."""

    CARTRIDGE = "cartridge"
    LOT = "lot"
    OPERATOR = "operator"
    DAY = "day"
    FIGURES = "figures"
    """None of them: what all of the record adds up to."""


class ErasedScope(StrEnum):
    """Whose identifiers were erased."""

    PERSON = "person"
    """One person's, at their request."""
    PERIOD = "period"
    """Of everybody who was last seen in a closed period."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceOpened:
    """Somebody looked up the whole story of a cartridge, a lot, an operator or a day.

    Or what all of the record adds up to.
    """

    at: Instant
    by: str
    of: TraceOf
    about: str
    """Opaque id of the cartridge, number of the lot, key of the operator, or the day; of figures
    nothing."""
    since: Instant | None
    """How far back they saw; None: all of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ArchiveWritten:
    """A copy of the record up to the end of a closed period was written into a file."""

    at: Instant
    by: str
    through: Instant
    """When the last event in it was recorded."""
    events: int
    """How many are in it, from the first one on."""
    head: str
    """The hash of the last of them, in hex."""
    digest: str
    """SHA-256 over the bytes of the file, in hex."""
    file: Private
    """Where it was written; the name of a file may name somebody."""
    words: Private
    """Why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordErased:
    """Identifiers and free text were erased from beside the chain; their keys stay.

    Of one act there may be several, so that none of them grows without bound. They are
    stored in one piece with the erasing itself: the one is never there without the other.
    """

    at: Instant
    by: str
    scope: ErasedScope
    through: Instant | None
    """Where the closed period ends; None: one person, whenever it was recorded."""
    people: int
    """How many persons' own IDs are among them."""
    kept: int
    """Persons of the period who stay known: they came again, or something of theirs was open.

    It stands in the first event of an act, as the reason does.
    """
    keys: tuple[str, ...]
    """Of what was erased: of each value what the chain holds of it, and nothing else."""
    words: Private | None
    """Why; it stands in the first event of an act."""
    whose: tuple[str, ...] = field(default=(), metadata=LATER)
    """Whose they were: opaque ids of cartridges and runs on paper, keys of persons and parties.

    Whoever had taken words about them in before looks there, to forget them too.
    """


KeepingEvent = TraceOpened | ArchiveWritten | RecordErased
