"""What may be asked about the stations of a shared bay."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.stations.apart import Settling


@dataclass(frozen=True, slots=True, kw_only=True)
class GiveUpStation:
    """Say that a station that is away will not come back: its cartridges pass to another."""

    by: str = field(repr=False)
    station: str
    heir: str
    """The station at which this is said."""
    away: frozenset[str]
    """The stations that are away now, as the one that asks sees it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SettleApart:
    """Say what was done about something that is kept apart."""

    by: str = field(repr=False)
    number: int
    how: Settling


StationsAct = GiveUpStation | SettleApart

STATIONS_NAMES: dict[type, str] = {
    GiveUpStation: "give-up-station",
    SettleApart: "settle-apart",
}
"""What a near miss is recorded under; part of the record, never changed."""
