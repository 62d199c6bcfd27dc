"""A station that will not come back is given up, and is here again if it does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import at
from core.board.stations_bench import BENCH, WINDOW, SharedBay
from readbell.core.board.stations import (
    GIVEN_UP_ALREADY,
    NOT_AWAY,
    OWN_STATION,
    UNKNOWN_STATION,
    here_again,
    mark_of,
)
from readbell.core.refusal import RefusalCode
from readbell.core.staff.acts import GiveRoles
from readbell.core.staff.roles import EVERY_ROLE, Role
from readbell.core.stations.acts import GiveUpStation
from readbell.core.stations.events import StationGivenUp, StationJoined, StationLeft
from readbell.core.stations.station import Station, StationState


def give_up(
    station: str = BENCH, away: tuple[str, ...] = (BENCH,), by: str = "op-1"
) -> GiveUpStation:
    """Somebody at the window says so."""
    return GiveUpStation(by=by, station=station, heir=WINDOW, away=frozenset(away))


def test_a_station_that_is_away_is_given_up_by_whoever_may(bay: SharedBay) -> None:
    """Its cartridges pass to the station at which that is said."""
    (event,) = bay.must(give_up(), "3:00")

    assert event == StationGivenUp(at=at("3:00"), by="key-op-1", station=BENCH, heir=WINDOW)
    assert bay.board.holders["id-C2"] == WINDOW


def test_where_there_are_roles_it_takes_a_supervisor(bay: SharedBay) -> None:
    """As every act that takes something away from somebody."""
    bay.must(GiveRoles(by="op-1", operator="op-1", roles=EVERY_ROLE))

    assert bay.refused(give_up(by="op-2")).code is RefusalCode.ROLE_MISSING
    assert bay.refused(give_up(by="op-2")).subject == Role.SUPERVISOR


@pytest.mark.parametrize(
    ("act", "why"),
    [
        (give_up("nobody"), UNKNOWN_STATION),
        (replace(give_up(), heir="nobody"), UNKNOWN_STATION),
        (give_up(WINDOW), OWN_STATION),
        (give_up(away=()), NOT_AWAY),
    ],
)
def test_a_station_is_not_given_up_while_it_is_here(
    bay: SharedBay, act: GiveUpStation, why: str
) -> None:
    """Somebody may be at work there."""
    assert bay.refused(act).subject == why


def test_nobody_unknown_gives_a_station_up(bay: SharedBay) -> None:
    """As with every act."""
    assert bay.refused(give_up(by="nobody")).code is RefusalCode.UNKNOWN_OPERATOR


def test_a_station_is_given_up_once_and_may_have_left_before(bay: SharedBay) -> None:
    """Then it held nothing any more."""
    bay.put(StationLeft(at=at("2:50"), station=BENCH))
    assert bay.board.stations[BENCH] == Station(mark="B", state=StationState.LEFT)
    assert bay.board.holders == {"id-C1": WINDOW}

    bay.must(give_up(away=()), "3:00")

    assert bay.refused(give_up(), "3:01").subject == GIVEN_UP_ALREADY


def test_a_station_that_comes_back_is_here_again(bay: SharedBay) -> None:
    """Whatever was said of it meanwhile."""
    bay.must(give_up(), "3:00")
    bay.put(StationJoined(at=at("4:00"), station=BENCH, mark="B"))

    assert bay.board.stations[BENCH] == Station(mark="B")
    assert bay.board.holders["id-C2"] == WINDOW


def test_a_station_that_was_given_up_and_only_stood_still_is_here_again(bay: SharedBay) -> None:
    """Under its own mark; and one that is here says nothing."""
    assert here_again(bay.board, BENCH, at("3:00")) == ()
    assert here_again(bay.board, "attic", at("3:00")) == ()
    bay.put(StationGivenUp(at=at("3:00"), by="key-op-1", station=BENCH, heir=WINDOW))

    found = here_again(bay.board, BENCH, at("3:01"))

    assert found == (StationJoined(at=at("3:01"), station=BENCH, mark=mark_of(bay.board, BENCH)),)
    bay.put(*found)
    assert bay.board.stations[BENCH].state is StationState.HERE
