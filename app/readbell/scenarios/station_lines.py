"""What may be said to a live bay about its stations, and about what was done alone and kept apart."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import Field

from readbell.core.stations.apart import Settling
from readbell.scenarios.act_table import Name
from readbell.toml_tables import Table

if TYPE_CHECKING:
    from collections.abc import Mapping


class GiveUpLine(Table):
    """Say that a station that is away will not come back: this one holds its cartridges now."""

    do: Literal["give-up-station"]
    by: Name
    station: Name


class SettleLine(Table):
    """Say what was done about something that is kept apart."""

    do: Literal["settle-apart"]
    by: Name
    number: Annotated[int, Field(ge=0)]
    """As `stations` counts them."""
    how: Annotated[Settling, Field(strict=False)]


class StationsLine(Table):
    """Say who is here and who is away, and what is kept apart."""

    do: Literal["stations"]


StationLine = GiveUpLine | SettleLine

STATION_LINES: Mapping[str, type[StationLine | StationsLine]] = {
    "give-up-station": GiveUpLine,
    "settle-apart": SettleLine,
    "stations": StationsLine,
}
