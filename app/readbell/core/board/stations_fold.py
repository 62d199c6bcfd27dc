"""How the board changes by what happens to the stations of a shared bay."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

from readbell.core.errors import BrokenRecordError
from readbell.core.instant import between
from readbell.core.stations.events import (
    ActKeptApart,
    ApartSettled,
    CartridgeHeld,
    JoinedUp,
    StationGivenUp,
    StationJoined,
    StationLeft,
)
from readbell.core.stations.station import Station, StationState

if TYPE_CHECKING:
    from readbell.core.board.draft import Draft
    from readbell.core.stations.events import StationsEvent


def enter_stations(draft: Draft, event: StationsEvent) -> None:
    """Enter what happened to a station, or what it held or had done alone.

    Raises:
        BrokenRecordError: the record never introduced the station or the cartridge.
    """
    match event:
        case StationJoined():
            draft.stations.put(event.station, Station(mark=event.mark))
        case StationLeft():
            _put(draft, event.station, StationState.LEFT)
            _hand_on(draft, event.station, None)
        case CartridgeHeld():
            _known(draft, event.station)
            if not draft.cartridge(event.cartridge).has_ended:
                draft.holders.put(event.cartridge, event.station)
        case StationGivenUp():
            _give_up(draft, event)
        case ActKeptApart():
            if event.asks:
                draft.apart.put(str(draft.apart_count), event)
            draft.apart_count += 1
        case ApartSettled():
            draft.apart.drop(str(event.number))
        case JoinedUp():
            alone = between(event.since, event.at)
            draft.longest_alone = max(draft.longest_alone, alone)
        case _:
            assert_never(event)


def _give_up(draft: Draft, event: StationGivenUp) -> None:
    _known(draft, event.heir)
    _put(draft, event.station, StationState.GIVEN_UP)
    _hand_on(draft, event.station, event.heir)


def _hand_on(draft: Draft, station: str, heir: str | None) -> None:
    """Let `heir` hold what `station` held; None: nobody, until somebody takes it up.

    Once a station has said goodbye others go on with its cartridges. Should it come back while
    its link is lost it must not do so as well.
    """
    held = [key for key, holder in draft.holders.mapping.items() if holder == station]
    for key in held:
        if heir is None:
            draft.holders.drop(key)
        else:
            draft.holders.put(key, heir)


def _put(draft: Draft, station: str, state: StationState) -> None:
    draft.stations.put(station, replace(_known(draft, station), state=state))


def _known(draft: Draft, station: str) -> Station:
    found = draft.stations.get(station)
    if found is None:
        msg = f"the record speaks of station {station!r}, which never joined"
        raise BrokenRecordError(msg)
    return found
