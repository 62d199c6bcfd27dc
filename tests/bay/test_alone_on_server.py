"""The same on a real server, with a wire that is cut: before, in, and after the middle of a commit."""

from __future__ import annotations

from contextlib import closing
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

import pytest
import pytest_asyncio

from bay.two_stations import Site
from readbell.core.reading.interpretation import Outcome
from readbell.core.stations.events import JoinedUp
from readbell.journal.errors import JournalError
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address
from readbell.journal.verify import verify
from wire import Wire

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Callable
    from pathlib import Path

    from bay.two_stations import Seat
    from journal.cut_link import FarSide
    from readbell.core.board.board import Board
    from server import Database, Server

BAY = "Harrow Quay"
Manner = Literal["cut", "lose_next_request", "lose_next_answer"]


@dataclass(kw_only=True)
class WiredSite(Site):
    """A real server, and a wire to it for each station."""

    server: Server
    database: Database
    wires: dict[str, Wire] = field(default_factory=dict)

    def server_for(self, name: str, wall: Callable[[], int]) -> FarSide:  # noqa: ARG002
        """Return the record on the server, through a wire of the station's own."""
        if name not in self.wires:
            self.wires[name] = Wire(self.server.port)
        address = self.server.address(self.database.name, port=self.wires[name].port)
        found: FarSide = self.opened_at(address)  # type: ignore[assignment]  # it does the same
        return found

    def opened_at(self, address: str) -> PostgresJournal:
        """Return the record of the bay at `address`."""
        return PostgresJournal.open(read_address(address), BAY, station="bench", found=True)

    def whole(self) -> Board:
        """Return what the record on the server adds up to, having checked all of it."""
        with closing(self.opened_at(self.database.address)) as found:
            return verify(found).board

    async def close(self) -> None:
        """Let go of the stations and their wires."""
        await super().close()
        for each in self.wires.values():
            each.close()


@pytest_asyncio.fixture
async def site(tmp_path: Path, server: Server, database: Database) -> AsyncIterator[WiredSite]:
    """Two stations at work on one server."""
    made = WiredSite(folder=tmp_path, server=server, database=database)
    bench = await made.open("bench")
    await bench.work.prepare()
    await made.open("window", bench.work.clock)
    await bench.follow()
    yield made
    await made.close()


def is_alone(seat: Seat) -> bool:
    """Say whether a station says that it is alone."""
    return seat.keeper.alone is not None


async def mended(site: WiredSite, seat: Seat) -> None:
    """Make the link of a station up again, as whoever looks after it does."""
    site.wires[seat.name].mend()
    for _ in range(20):
        try:
            seat.journal.linked(seat.server)
        except JournalError:
            continue
        break
    await seat.keeper.read(lambda _: seat.journal.pull())
    await seat.bay.link_changed()
    await seat.follow()


@pytest.mark.parametrize("manner", ["cut", "lose_next_request", "lose_next_answer"])
async def test_a_wire_cut_at_any_part_of_a_commit_loses_nothing_and_doubles_nothing(
    site: WiredSite, manner: Manner
) -> None:
    """The reading may be on the server already, and nobody here knows."""
    bench, window = site.seats["bench"], site.seats["window"]
    await bench.work.to_well("C1", "P-001")
    await window.follow()
    await window.work.to_well("C2", "P-002")
    await bench.follow()
    bench.work.clock.advance("15:00")
    await bench.work.ring()
    getattr(site.wires["bench"], manner)()
    await bench.work.must(bench.work.read("C1"))
    assert is_alone(bench)
    await window.follow()
    await window.work.ring()
    await window.work.must(window.work.read("C2"))
    bench.work.clock.advance("0:30")
    assert (await bench.work.enter(bench.work.label("A-C3", "P-002"))).accepted

    await mended(site, bench)
    await window.follow()

    assert not is_alone(bench)
    boards = (bench.bay.board, window.bay.board, site.whole())
    for board in boards:
        first, second = board.labelled("C1"), board.labelled("C2")
        assert first is not None
        assert second is not None
        assert (first.outcome, second.outcome) == (Outcome.NEGATIVE, Outcome.NEGATIVE)
        assert board.labelled("A-C3") is not None
        assert not board.apart
    assert bench.keeper.head == window.keeper.head
    told = [each for news in window.work.told for each in news.events if isinstance(each, JoinedUp)]
    assert len(told) == 1


async def test_a_joining_up_whose_answer_is_lost_is_not_made_twice(site: WiredSite) -> None:
    """The wire is cut once more just as everything has come home."""
    bench, window = site.seats["bench"], site.seats["window"]
    await bench.work.to_well("C1", "P-001")
    await window.follow()
    site.wires["bench"].cut()
    bench.work.clock.advance("15:00")
    await bench.work.ring()
    await bench.work.must(bench.work.read("C1"))
    await window.work.must(window.work.label("C2", "P-002"))
    site.wires["bench"].lose_next_answer()

    await mended(site, bench)
    assert is_alone(bench), "the answer was lost, and what is known is that"
    bench.work.clock.advance("0:30")
    await bench.work.must(bench.work.label("A-C3", "P-001"))
    await mended(site, bench)
    await window.follow()

    assert not is_alone(bench)
    board = site.whole()
    found = board.labelled("C1")
    assert found is not None
    assert found.outcome is Outcome.NEGATIVE
    assert board.labelled("A-C3") is not None
    assert bench.keeper.head == window.keeper.head
    with closing(site.opened_at(site.database.address)) as record:
        bodies = [each.body for each in record.records()]
    assert sum('"kind":"cartridge-read"' in each for each in bodies) == 1
    assert sum('"kind":"joined-up"' in each for each in bodies) == 2
    assert not [*site.folder.glob("bench.station.continuation-*")]


async def test_a_server_that_is_started_anew_is_a_cut_like_any_other(site: WiredSite) -> None:
    """Both stations go on alone meanwhile, each with its own."""
    bench, window = site.seats["bench"], site.seats["window"]
    await bench.work.to_well("C1", "P-001")
    await window.follow()
    await window.work.to_well("C2", "P-002")
    await bench.follow()
    bench.work.clock.advance("15:00")
    await bench.work.ring()
    await window.follow()
    await window.work.ring()
    await bench.follow()
    site.server.stop("immediate")
    try:
        await bench.work.must(bench.work.read("C1"))
        await window.work.must(window.work.read("C2"))
        for seat in (bench, window):
            assert is_alone(seat)
    finally:
        site.server.start()

    await mended(site, bench)
    await mended(site, window)
    await bench.follow()

    for board in (bench.bay.board, window.bay.board, site.whole()):
        for label in ("C1", "C2"):
            found = board.labelled(label)
            assert found is not None
            assert found.outcome is Outcome.NEGATIVE
    assert bench.keeper.head == window.keeper.head
