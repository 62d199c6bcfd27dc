"""What steady hands have to reckon with beside the assay: bad devices, absences, cars that leave."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.cartridge.events import VoidReason
from readbell.core.instant import later
from readbell.core.made_later import dataclass
from readbell.core.rehearsal.scenario import FlawKind

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.instant import Instant
    from readbell.core.rehearsal.scenario import Scenario


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """What a scenario puts in the way; nothing where it says nothing."""

    flawed: Mapping[str, str] = field(default_factory=dict)
    """Label of each device that must not be read, to why it is voided."""
    away: Mapping[str, tuple[tuple[Instant, Instant], ...]] = field(default_factory=dict)
    """Operator to when they are called away and when they are back, in order."""
    leaves: Mapping[str, Instant] = field(default_factory=dict)
    """Person to when they leave, tested or not."""

    def back(self, operator: str, now: Instant) -> Instant | None:
        """Return when `operator`, called away at `now`, is back; None if they are here."""
        return next((until for at, until in self.away.get(operator, ()) if at <= now < until), None)

    def has_left(self, person: str, now: Instant) -> bool:
        """Say whether `person` is there no more."""
        leaves = self.leaves.get(person)
        return leaves is not None and leaves <= now


NO_TROUBLE = Trouble()


def trouble_of(scenario: Scenario, starts: Instant) -> Trouble:
    """Return what `scenario`, begun at `starts`, puts in the way."""
    return Trouble(
        flawed={
            label: VoidReason.LABEL_ERROR if each.kind is FlawKind.LABEL_SWAPPED else each.kind
            for each in scenario.flaws
            for label in (each.cartridge, each.other)
            if label
        },
        away={
            operator: tuple(
                (later(starts, at), later(starts, until)) for at, until in scenario.away(operator)
            )
            for operator in scenario.operators
        },
        leaves={
            person.id: later(starts, leaves)
            for person in scenario.persons
            if (leaves := scenario.leaves(person.id)) is not None
        },
    )
