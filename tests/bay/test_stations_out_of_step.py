"""What stations take one another for, at the instants at which that is not true any more."""

from __future__ import annotations

import asyncio
import threading
from typing import TYPE_CHECKING

from journal.cut_link import FarSide
from patience import PATIENCE_SECONDS
from readbell.core.cartridge.events import CartridgeRead
from readbell.core.refusal import RefusalCode
from readbell.core.stations.acts import GiveUpStation
from readbell.core.stations.station import StationState
from readbell.journal.errors import NotWrittenError

if TYPE_CHECKING:
    from collections.abc import Sequence

    import pytest

    from bay.two_stations import Seat, Site
    from readbell.journal.record import Head, Record


async def test_a_strip_of_another_station_is_not_read_by_the_act_that_finds_the_link_lost(
    site: Site, bench: Seat, window: Seat
) -> None:
    """Its holder may read it at the same moment: then two outcomes would stand."""
    await window.work.to_well("C1")
    await bench.follow()
    await site.advance("15:00")
    await window.work.ring()
    await bench.follow()
    bench.cut()

    answer = await bench.work.enter(bench.work.read("C1"))

    assert answer.refusal is not None
    assert answer.refusal.code is RefusalCode.HELD_ELSEWHERE
    assert not bench.work.cartridge("C1").has_ended
    await window.work.must(window.work.read("C1"))
    await bench.come_back()
    assert bench.work.cartridge("C1").outcome is window.work.cartridge("C1").outcome
    told = [each for news in bench.work.told for each in news.events]
    assert len([each for each in told if isinstance(each, CartridgeRead)]) == 1


async def test_what_waits_for_the_link_is_not_done_by_the_act_that_finds_it_lost(
    site: Site, bench: Seat
) -> None:
    """It would be shown as done, and be kept apart later."""
    attic = await site.open("attic", bench.work.clock)
    await bench.follow()
    await attic.die()
    site.ears.pop("attic")
    bench.cut()

    answer = await bench.bay.do(
        GiveUpStation(by="op-1", station="attic", heir="bench", away=frozenset({"attic"}))
    )

    assert answer.refusal is not None
    assert answer.refusal.code is RefusalCode.ALONE


async def test_a_station_closed_as_its_link_is_lost_reads_its_own_strips_when_begun_again(
    site: Site, bench: Seat, window: Seat
) -> None:
    """It said goodbye to nobody: the others leave its strips to it."""
    await bench.work.to_well("C1")
    await window.follow()
    bench.cut()
    clock = bench.work.clock
    await bench.work.close()
    bench.following.close()

    again = await site.open("bench", clock, cut=True)
    clock.advance("15:00")

    await again.work.must(again.work.read("C1"))


async def test_a_station_that_was_given_up_while_it_stood_still_is_here_again(
    site: Site, bench: Seat, window: Seat
) -> None:
    """Else nobody would ever take it for away again, and lapse what it has read alone."""
    await bench.work.to_well("C1")
    await window.follow()
    clock = bench.work.clock
    clock.advance("0:10")
    window.presence.pulse()
    away = window.presence.away(window.bay.board)
    assert away == {"bench"}
    act = GiveUpStation(by="op-1", station="bench", heir="window", away=away)
    assert (await window.bay.do(act)).accepted

    await bench.follow()
    await window.follow()
    site.pulse()

    assert window.bay.board.stations["bench"].state is StationState.HERE
    await bench.work.to_well("C2")
    await window.follow()
    await bench.go_alone()
    clock.advance("0:10")
    window.presence.pulse()
    assert window.presence.away(window.bay.board) == {"bench"}


async def test_what_is_read_in_time_just_after_a_cut_does_not_lapse_elsewhere(
    site: Site, bench: Seat, window: Seat
) -> None:
    """The others still take its reader for here: they heard it seconds ago."""
    await bench.work.to_well("C1")
    await window.follow()
    await site.advance("19:59")
    await window.work.ring()
    await bench.go_alone()
    await bench.work.must(bench.work.read("C1"))
    for _ in range(30):
        bench.work.clock.advance("0:00.500")
        window.presence.pulse()
        await window.work.ring()

    await bench.come_back()

    assert bench.work.cartridge("C1").reading is not None


async def test_a_station_that_writes_beside_the_record_is_away_for_the_others(
    site: Site, bench: Seat, window: Seat
) -> None:
    """What it has read they cannot know, however alive it is."""
    await bench.work.to_well("C1")
    await window.follow()
    bench.journal.cut()
    await bench.bay.link_changed()
    bench.journal._cut = False  # it hears and speaks, and cannot record
    site.pulse()

    assert window.presence.away(window.bay.board) == {"bench"}


async def test_two_stations_for_which_the_server_was_full_both_come_home(
    bench: Seat, window: Seat, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever is second finds that the record has gone on."""
    await bench.work.to_well("C1")
    await window.work.to_well("C2")
    await bench.follow()

    def full(_records: Sequence[Record], _expected: Head) -> Head:
        msg = "the server's disk is full"
        raise NotWrittenError(msg)

    bench.work.clock.advance("15:00")
    with monkeypatch.context() as patched:
        for seat, label in ((bench, "C1"), (window, "C2")):
            patched.setattr(seat.server, "append", full)
            await seat.work.must(seat.work.read(label))
            assert seat.keeper.not_saved is not None

    for _ in range(2):
        for seat in (bench, window):
            await seat.bay.link_changed()
            await seat.follow()

    for seat in (bench, window):
        assert seat.keeper.not_saved is None
        assert seat.keeper.alone is None
        for label in ("C1", "C2"):
            assert seat.work.cartridge(label).reading is not None


async def test_news_of_a_server_that_takes_nothing_do_not_keep_the_bay_from_its_alarms(
    bench: Seat, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever looks after the link lets the others have their turn, whatever it has heard."""
    bench.following.on_news(1_000_000)
    await bench.work.ring()
    bench.cut()
    bench.journal.cut()
    looks = 0
    looked = bench.following._look_after

    async def look_after() -> None:
        nonlocal looks
        looks += 1
        if looks > 50:
            bench.following.stop()
        await looked()

    monkeypatch.setattr(bench.following, "_look_after", look_after)
    before = bench.work.clock.counting

    await bench.following.run()

    assert bench.work.clock.counting - before > 20_000


async def test_a_fault_of_the_program_while_it_follows_makes_it_alone_and_not_deaf(
    bench: Seat, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody would notice a board that follows nobody any more; one that is alone says so."""
    looked, faults = bench.following._look_after, 0

    async def look_after() -> None:
        nonlocal faults
        faults += 1
        if faults == 1:
            raise LookupError
        if faults > 10:
            bench.following.stop()
        await looked()

    monkeypatch.setattr(bench.following, "_look_after", look_after)

    await bench.following.run()

    alone = [news.around and news.around.alone for news in bench.work.told]
    assert any(alone)
    assert bench.keeper.alone is None
    assert bench.journal.is_linked


async def test_a_connection_that_comes_as_the_bay_is_laid_down_is_let_go(
    site: Site, bench: Seat, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It took its time, and nobody is left who would use it: the server would keep a place for it."""
    await bench.go_alone()
    begun, may_come = threading.Event(), threading.Event()
    late = FarSide(site.folder / "server.journal")
    let_go = threading.Event()
    close = late.close

    def closed() -> None:
        close()
        let_go.set()

    def connect() -> FarSide:
        begun.set()
        assert may_come.wait(PATIENCE_SECONDS)
        return late

    monkeypatch.setattr(bench.following, "_connect", connect)
    monkeypatch.setattr(late, "close", closed)
    bench.following._tried = -1_000_000
    running = asyncio.create_task(bench.following.run())
    assert await asyncio.to_thread(begun.wait, 20)

    await bench.work.close()
    may_come.set()
    await running

    assert let_go.is_set()
