"""What is said to a bay about its stations, turned into acts: who is away is looked at here."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.stations.acts import GiveUpStation, SettleApart
from readbell.scenarios.station_lines import GiveUpLine

if TYPE_CHECKING:
    from readbell.bay.bay import Bay
    from readbell.core.stations.acts import StationsAct
    from readbell.scenarios.station_lines import StationLine


def act_of_stations(bay: Bay, line: StationLine) -> StationsAct:
    """Return what `line` asks; in a bay that nobody shares it is of a station nobody knows."""
    if not isinstance(line, GiveUpLine):
        return SettleApart(by=line.by, number=line.number, how=line.how)
    around = bay.present().around
    return GiveUpStation(
        by=line.by,
        station=line.station,
        heir="" if around is None else around.station,
        away=frozenset() if around is None else around.away,
    )
