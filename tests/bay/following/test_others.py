"""Each board follows the others, on one line of time, though their own clocks are wrong."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from bay.following.site import heads, label, step
from builders import private
from own_clock import OwnClock
from readbell.bay.common_time import quickest
from readbell.core.board.acts import MuteSound, RegisterPerson
from readbell.core.board.entry import Do, Entry
from readbell.core.board.events import ClockJumped, MuteReason, SoundMuted
from readbell.core.cartridge.events import CartridgeVoided
from readbell.core.instant import MINUTE, Span
from readbell.core.people.events import PersonRegistered
from readbell.core.policy.policy import SitePolicy
from readbell.core.refusal import RefusalCode
from readbell.core.stations.events import StationJoined, StationLeft
from readbell.core.stations.station import StationState
from readbell.journal.verify import verify
from readbell.settings.station_file import read_station_file
from readbell.stations.opening import server_of

if TYPE_CHECKING:
    import pytest

    from bay.following.site import Site, Station
    from readbell.bay.common_time import ServerClock
    from readbell.clock.clock import Clock
    from readbell.clock.shared_line import ServerLook

TRUNCATED = 2
"""Milliseconds: each of two clocks is read in whole ones."""
APART = 2_000
"""Milliseconds by which a busy machine may mistake one clock for another; one of these is 40 s ahead."""


async def test_what_is_done_at_one_station_is_shown_at_the_other(
    window: Station, bench: Station
) -> None:
    """The listeners are told of the events too, so that a board can show and say them."""
    await window.must(label())

    await bench.until(lambda each: "C1" in each.board.labels)

    await bench.must(step("buffer"))
    await window.until(lambda each: each.board.holders == bench.board.holders)
    cartridge = window.board.labels["C1"]
    assert window.board.holders == {cartridge: "bench"}
    assert any(getattr(each, "cartridge", None) == cartridge for each in bench.events())
    assert heads(window, bench) == {(await _head(bench)).hex()}


async def _head(station: Station) -> bytes:
    file = read_station_file(station.path)
    server = await asyncio.to_thread(server_of, file)
    try:
        return server.head().hash
    finally:
        server.close()


async def test_both_stations_count_one_time(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    """One wall clock is 40 s ahead: a strip that is applied here is read in time there."""
    looks: list[ServerLook] = []

    def noted(server: ServerClock, clock: Clock) -> ServerLook:
        looks.append(quickest(server, clock))
        return looks[-1]

    monkeypatch.setattr("readbell.bay.following.quickest", noted)
    window = await site.open("window", OwnClock(wall=40_000, counting=7_000_000, boot="w"))
    bench = await site.open("bench", OwnClock(counting=123, boot="b"))

    before, there, after = window.bay.now(), bench.bay.now(), window.bay.now()

    doubt = sum(each.within for each in looks) + TRUNCATED
    assert before - doubt <= there <= after + doubt


async def test_both_show_the_servers_time_of_day(window: Station, bench: Station) -> None:
    """What was done at 12:03 at one station was done at 12:03 at every other one."""
    for each in (window, bench):
        before, present, after = OwnClock().read(), each.bay.present(), OwnClock().read()
        assert before.wall - APART <= present.wall <= after.wall + APART


async def test_who_is_here_is_known_at_both(window: Station, bench: Station, site: Site) -> None:
    """Marks are given at the first opening, and a goodbye is told."""
    await window.until(lambda each: "bench" in each.board.stations)
    await bench.until(lambda each: _seen_by(each) == {"window", "bench"})
    assert window.board.stations["window"].mark == "A"
    assert window.board.stations["bench"].mark == "B"
    assert read_station_file(bench.path).mark == "B"

    await site.close("bench")

    await window.until(lambda each: each.board.stations["bench"].state is StationState.LEFT)
    left = [each for each in window.events() if isinstance(each, (StationJoined, StationLeft))]
    assert [type(each).__name__ for each in left][-2:] == ["StationJoined", "StationLeft"]


def _seen_by(station: Station) -> set[str]:
    around = station.bay.present().around
    return set() if around is None else {each.station for each in around.seen}


async def test_what_a_station_leaves_behind_is_held_by_one_that_stays(
    site: Site, window: Station, bench: Station
) -> None:
    """Its clock runs on there: held by nobody it could be read by nobody once the link is lost."""
    await bench.must(label())
    await window.until(lambda each: set(each.board.holders.values()) == {"bench"})
    tent = await site.open("tent")

    await site.close("bench")

    for each in (window, tent):
        await each.until(lambda each: set(each.board.holders.values()) <= {"window", "tent"})
        await each.until(lambda each: len(each.board.holders) == 1)
    await window.until(lambda each: each.board.holders == tent.board.holders)


async def test_of_two_that_void_one_cartridge_one_wins_and_the_other_hears_of_it(
    window: Station, bench: Station
) -> None:
    """Both press the key at the same moment: the record has it once, with who was first."""
    await window.must(label())
    await bench.until(lambda each: "C1" in each.board.labels)

    def void(by: str) -> Entry:
        return Entry(do=Do.VOID, by=by, cartridge="C1", reason="dropped")

    answers = await asyncio.gather(window.bay.enter(void("op-1")), bench.bay.enter(void("op-2")))

    refused = [each.refusal for each in answers if each.refusal is not None]
    assert len(refused) == 1
    assert refused[0].code is RefusalCode.ALREADY_ENDED
    first = refused[0].elsewhere
    assert first is not None
    assert (first.station, first.by) in {("window", "op-1"), ("bench", "op-2")}
    assert first.kind == "cartridge-voided"
    file = read_station_file(window.path)
    server = await asyncio.to_thread(server_of, file)
    try:
        board = verify(server).board
    finally:
        server.close()
    assert [each.label for each in board.ended.values()] == ["C1"]
    await window.until(lambda each: not each.board.running)
    voids = [each for each in window.events() if isinstance(each, CartridgeVoided)]
    assert len(voids) == 1


async def test_an_act_in_between_is_no_reason_to_blame_somebody(
    window: Station, bench: Station
) -> None:
    """Whoever went on with the cartridge themselves since is not told of what was before."""
    await window.must(label())
    await bench.until(lambda each: "C1" in each.board.labels)
    await bench.must(step("buffer"))

    answer = await bench.bay.enter(step("buffer"))

    assert answer.refusal is not None
    assert answer.refusal.code is RefusalCode.OUT_OF_ORDER
    assert answer.refusal.elsewhere is None


async def test_a_station_that_was_away_catches_up(site: Site, window: Station) -> None:
    """It was switched off while others went on, and has all of it when it is opened."""
    await site.open("bench")
    await site.close("bench")
    await window.must(label())
    await window.must(label("C2", "P-002"))

    again = await site.open("bench", OwnClock(counting=5, boot="b2"))

    assert set(again.board.labels) == {"C1", "C2"}
    assert again.found.clean
    assert not again.found.is_new


async def test_what_concerns_one_station_alone_stays_there(window: Station, bench: Station) -> None:
    """Somebody mutes the bell at the window: at the bench it rings on, though it is on record."""
    answer = await window.bay.do(
        MuteSound(by="op-1", reason=next(iter(MuteReason)), span=Span(5 * MINUTE))
    )
    assert answer.accepted, answer
    await window.must(label())
    await bench.until(lambda each: "C1" in each.board.labels)

    assert window.board.muted_until is not None
    assert bench.board.muted_until is None
    assert not any(isinstance(each, SoundMuted) for each in bench.events())


async def test_the_policy_is_that_of_the_station_that_sets_it(site: Site) -> None:
    """Two computers with settings of their own must not take turns in deciding."""
    strict = SitePolicy(warn_expiry_days=9)
    lax = SitePolicy(warn_expiry_days=1)
    office = await site.open("office", policy=strict, sets_policy=True)
    assert office.board.policy == strict

    bench = await site.open("bench", policy=lax)

    assert bench.board.policy == strict


async def test_two_that_begin_a_bay_at_once_found_it_once(site: Site) -> None:
    """The second finds it founded, and takes it up."""
    site.file("window")
    site.file("bench")

    first, second = await asyncio.gather(site.open("window"), site.open("bench"))

    await first.until(lambda each: len(each.board.stations) == 2)
    await second.until(lambda each: len(each.board.stations) == 2)
    assert first.board.founded == second.board.founded
    assert {each.mark for each in first.board.stations.values()} == {"A", "B"}


async def test_the_wall_clock_of_one_computer_is_not_the_bays(
    window: Station, bench: Station
) -> None:
    """It is set by an hour: neither the line nor the time of day of the bay moves."""
    clock = window.bay._clock
    assert isinstance(clock, OwnClock)
    before, began = window.bay.now(), OwnClock().read()
    clock.wall += 3_600_000

    await window.bay._look_about()
    await window.must(label())

    await bench.until(lambda each: "C1" in each.board.labels)
    present, ended = window.bay.present(), OwnClock().read()
    assert 0 <= present.at - before <= ended.counting - began.counting + APART
    assert not any(isinstance(each, ClockJumped) for each in bench.events())
    assert began.wall - APART <= present.wall <= ended.wall + APART


async def test_people_registered_at_the_same_moment_are_all_there(
    window: Station, bench: Station
) -> None:
    """Twenty at each, all at once: each conflict is settled by judging anew, and none is lost."""
    acts = [
        station.bay.do(RegisterPerson(by="op-1", person=private(f"{station.name}-{number}")))
        for number in range(20)
        for station in (window, bench)
    ]

    answers = await asyncio.gather(*acts)

    assert all(each.accepted for each in answers)
    for station in (window, bench):
        await station.until(lambda each: len(each.board.persons) == 42)
    told = [each for each in bench.events() if isinstance(each, PersonRegistered)]
    assert len(told) == 40
    assert len(heads(window, bench)) == 1
