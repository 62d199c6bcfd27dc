"""A scenario: a day at the bay as a script, with or without acts."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from readbell.core.policy.policy import UNDECIDED, SitePolicy
from readbell.core.rehearsal.virtual_cartridge import Shows

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date

    from readbell.core.board.entry import Entry
    from readbell.core.controls.material import SampleKind
    from readbell.core.instant import Span
    from readbell.core.people.particulars import ConsentBy, ConsentHow, Particular, ToldTo
    from readbell.core.reading.interpretation import LineOutcome
    from readbell.core.staff.roles import Role


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedLot:
    """A box of kits on the shelf."""

    number: str
    assay: str
    """The assay's id, or a path relative to the scenario."""
    expires: date
    units: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedConsent:
    """What a person consents to as they come."""

    giver: ConsentBy
    how: ConsentHow
    told_to: ToldTo
    assays: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedPerson:
    """Somebody who comes to be tested."""

    id: str
    arrives: Span
    shows: Shows
    particulars: tuple[tuple[Particular, str], ...] = ()
    """What they are known by or reached by beside the ID."""
    consent: ScriptedConsent | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedSample:
    """A control material on the shelf, and what a device shows that is given a sample of it."""

    number: str
    kind: SampleKind
    assay: str
    """As for a lot."""
    expires: date
    expected: tuple[LineOutcome, ...]
    """By key or printed letter; empty: as is usual for its kind."""
    shows: Shows


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedAct:
    """An entry, and when it is made after the start."""

    at: Span
    entry: Entry
    done_at: Span | None = None
    """When the step was done, after the start, if that is stated afterwards."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Nap:
    """The lid is shut: the computer sleeps and nothing rings until it is opened."""

    shut: Span
    open: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedStaff:
    """What an operator may do, and is cleared for."""

    operator: str
    roles: tuple[Role, ...] | None
    """None: nothing was said."""
    cleared: tuple[tuple[str, date], ...]
    """Ids of assays, each with its last day."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """Everything a rehearsal needs besides the assays themselves."""

    title: str
    starts: int
    """UTC milliseconds since 1970."""
    timezone: str
    assay: str
    operators: tuple[str, ...]
    lots: tuple[ScriptedLot, ...]
    persons: tuple[ScriptedPerson, ...]
    acts: tuple[ScriptedAct, ...] = ()
    """Empty: a steady pair of hands for each operator does the work."""
    cartridges: Mapping[str, Shows] = field(default_factory=dict)
    """By label: a device that shows something of its own, whoever it is run for."""
    naps: tuple[Nap, ...] = ()
    samples: tuple[ScriptedSample, ...] = ()
    policy: SitePolicy = UNDECIDED
    staff: tuple[ScriptedStaff, ...] = ()
    """What is said of operators beside their ids."""

    def shows(self, label: str, person: str | None) -> Shows:
        """Return what the cartridge `label` of `person` shows: the device goes first."""
        own = self.cartridges.get(label)
        if own is not None:
            return own
        given = (*((each.id, each.shows) for each in self.persons), *self._of_samples())
        found = next((shows for name, shows in given if name == person), None)
        return found or Shows()

    def _of_samples(self) -> Iterator[tuple[str, Shows]]:
        return ((each.number, each.shows) for each in self.samples)
