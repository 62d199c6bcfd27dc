"""A scenario: a day at the bay as a script, with or without acts."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from readbell.core.policy.policy import UNDECIDED, SitePolicy
from readbell.core.rehearsal.virtual_cartridge import Shows

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from readbell.core.board.entry import Entry
    from readbell.core.instant import Span


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedLot:
    """A box of kits on the shelf."""

    number: str
    assay: str
    """The assay's id, or a path relative to the scenario."""
    expires: date
    units: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ScriptedPerson:
    """Somebody who comes to be tested."""

    id: str
    arrives: Span
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
    policy: SitePolicy = UNDECIDED

    def shows(self, label: str, person: str | None) -> Shows:
        """Return what the cartridge `label` of `person` shows: the device goes first."""
        own = self.cartridges.get(label)
        if own is not None:
            return own
        found = next((each.shows for each in self.persons if each.id == person), None)
        return found or Shows()
