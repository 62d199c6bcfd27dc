"""What is asked for about the record itself. Operators and persons are named as they were entered."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.instant import Instant
    from readbell.core.keeping.events import ErasedScope, TraceOf
    from readbell.core.private import Private


@dataclass(frozen=True, slots=True, kw_only=True)
class Period:
    """The longest closed period that ends with some day: from the first event on."""

    events: int
    """How many; 0: nothing is closed yet."""
    through: Instant
    """When the last of them was recorded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Erasable:
    """What an erasing would erase."""

    keys: tuple[str, ...]
    """Of identifiers and free text."""
    persons: tuple[str, ...]
    """Keys of the persons whose own ID is among them."""
    kept: int = 0
    """Persons of the period who stay known: they came again, or something of theirs is open."""
    whose: Mapping[str, str] = field(default_factory=dict)
    """By key, which cartridge, run on paper, person or party a value is about, if any."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenTrace:
    """Look up the whole story of a cartridge, a lot, an operator or a day."""

    by: str = field(repr=False)
    of: TraceOf
    about: str = field(repr=False)
    """Label or opaque id of the cartridge, number of the lot, the operator's ID, or the day."""
    since: Instant
    """Where the site's day began: what is older is the archive."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteArchive:
    """Note that a closed period was written into a file."""

    by: str = field(repr=False)
    period: Period
    head: str
    digest: str
    file: Private
    words: Private


@dataclass(frozen=True, slots=True, kw_only=True)
class EraseRecords:
    """Erase who is in the record: one person, or everybody last seen in a closed period."""

    by: str = field(repr=False)
    scope: ErasedScope
    patient: str | None = field(repr=False)
    """The person's ID; None: of a period."""
    period: Period | None
    found: Erasable
    words: Private
    words_name_them: bool = False
    """Whether the reason has an ID or a name of those in it who are to be forgotten."""


KeepingAct = OpenTrace | WriteArchive | EraseRecords

KEEPING_NAMES: dict[type, str] = {
    OpenTrace: "open-trace",
    WriteArchive: "write-archive",
    EraseRecords: "erase-records",
}
"""What a near miss is recorded under; part of the record, never changed."""
