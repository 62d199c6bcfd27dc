"""What is said about stations, by a line: judged where it is said, by who is away as seen there."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest_asyncio

from bay.two_stations import Site
from hand.conftest import find
from readbell.bay.desk import Desk
from readbell.bay.identifiers import RandomIdentifiers
from readbell.core.board.stations import NOT_AWAY, NOTHING_APART, UNKNOWN_STATION
from readbell.core.stations.apart import Settling
from readbell.core.stations.station import StationState
from readbell.scenarios.station_lines import GiveUpLine, SettleLine

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

    from bay.conftest import Work

DESK = Desk(identifiers=RandomIdentifiers(), find_assay=find)
GIVE_UP = GiveUpLine(do="give-up-station", by="op-1", station="window")
SETTLE = SettleLine(do="settle-apart", by="op-1", number=0, how=Settling.LEFT)


@pytest_asyncio.fixture
async def site(tmp_path: Path) -> AsyncIterator[Site]:
    """Two stations."""
    made = Site(folder=tmp_path)
    bench = await made.open("bench")
    await bench.work.prepare()
    await made.open("window", bench.work.clock)
    await bench.follow()
    yield made
    await made.close()


async def test_in_a_bay_that_nobody_shares_there_is_no_station_to_give_up(work: Work) -> None:
    """And nothing that is kept apart."""
    for line, subject in ((GIVE_UP, UNKNOWN_STATION), (SETTLE, NOTHING_APART)):
        answer = await DESK.serve(work.bay, line)
        assert answer.refusal is not None
        assert answer.refusal.subject == subject


async def test_a_station_is_given_up_once_it_is_away(site: Site) -> None:
    """As the station sees it at which that is said."""
    bench = site.seats["bench"]
    answer = await DESK.serve(bench.bay, GIVE_UP)
    assert answer.refusal is not None
    assert answer.refusal.subject == NOT_AWAY
    await site.seats["window"].go_alone()
    await site.advance("0:08")

    answer = await DESK.serve(bench.bay, GIVE_UP)

    assert answer.accepted
    assert answer.board.stations["window"].state is StationState.GIVEN_UP
