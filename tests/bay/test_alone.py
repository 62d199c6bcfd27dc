"""A station whose link is lost goes on alone, also if it is started or killed meanwhile."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.events import ClockJumped
from readbell.core.board.wall_time import wall_of
from readbell.core.cartridge.events import AlertKind, CartridgeRead
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode

if TYPE_CHECKING:
    from bay.two_stations import Seat, Site


async def test_two_stations_work_one_record(bench: Seat, window: Seat) -> None:
    """What one does the other sees."""
    await window.work.to_extract("C1")
    await bench.follow()

    assert bench.bay.board.labelled("C1") is not None
    assert bench.bay.board.holders == window.bay.board.holders
    assert set(bench.bay.board.stations) == {"bench", "window"}


async def test_a_station_is_new_in_a_bay_once(site: Site, bench: Seat, window: Seat) -> None:
    """Opened again it is back after some time."""
    assert bench.work.found.is_new
    assert window.work.found.new_station == "window"
    await window.die()

    again = await site.open("window", bench.work.clock)

    assert again.work.found.new_station == ""


async def test_a_lost_link_is_told_as_alone_since_when(bench: Seat) -> None:
    """And nothing is unsaved by it."""
    await bench.go_alone()

    present = bench.bay.present()
    assert present.around is not None
    assert present.around.alone is not None
    assert present.around.alone.since == bench.work.now()
    assert present.not_saved is None
    bench.work.clock.advance("3:00")
    later = bench.bay.present().around
    assert later is not None
    assert later.alone == present.around.alone


async def test_countdowns_and_alarms_go_on_alone(bench: Seat) -> None:
    """A strip keeps no time of its own."""
    await bench.work.to_well("C1")
    await bench.go_alone()

    bench.work.clock.advance("15:00")

    assert (AlertKind.READ_NOW, "C1") in await bench.work.ring()
    await bench.work.must(bench.work.read("C1"))
    assert bench.work.cartridge("C1").outcome is Outcome.NEGATIVE


async def test_a_new_person_is_begun_alone_under_the_mark_of_the_station(bench: Seat) -> None:
    """So that no two devices ever bear one label."""
    await bench.go_alone()

    assert await bench.work.refused(bench.work.label("C9")) is RefusalCode.ALONE
    await bench.work.must(bench.work.label("A-C9"))

    assert bench.work.cartridge("A-C9").label == "A-C9"


async def test_a_cartridge_of_another_station_is_not_read_alone(bench: Seat, window: Seat) -> None:
    """It may be read there at this very moment."""
    await window.work.to_well("C1")
    await bench.follow()
    await bench.go_alone()
    bench.work.clock.advance("15:00")

    answer = await bench.work.enter(bench.work.read("C1"))

    assert answer.refusal is not None
    assert answer.refusal.code is RefusalCode.HELD_ELSEWHERE
    assert answer.refusal.subject == "window"


async def test_a_station_started_without_its_server_works_and_joins_up_when_it_is_back(
    site: Site, bench: Seat, window: Seat
) -> None:
    """The mirror has the record, and its own file what it did alone."""
    await bench.work.to_well("C1", "P-001")
    await window.follow()
    await bench.go_alone()
    bench.work.clock.advance("14:00")
    await bench.die()
    again = await site.open("bench", bench.work.clock, cut=True)
    around = again.bay.present().around
    assert around is not None
    assert around.alone is not None
    again.work.clock.advance("1:00")
    assert (AlertKind.READ_NOW, "C1") in await again.work.ring()
    await again.work.must(again.work.read("C1"))
    await window.work.must(window.work.label("C2", "P-002"))

    await again.come_back()
    await window.follow()

    found = window.bay.board.labelled("C1")
    assert found is not None
    assert found.outcome is Outcome.NEGATIVE
    assert again.bay.board.labelled("C2") is not None
    assert len(window.told(CartridgeRead)) == 1
    assert site.whole().labelled("C1") == found


async def test_a_station_killed_before_its_first_act_alone_is_alone_since_then(
    site: Site, bench: Seat
) -> None:
    """How long nobody saw it is what people go by."""
    await bench.work.to_well("C1", "P-001")
    await bench.go_alone()
    since = bench.work.now()
    bench.following._time.keep(bench.work.clock.read(), bench.work.bay._recorder.alone_since)
    bench.work.clock.advance("3:00")
    await bench.die()

    again = await site.open("bench", bench.work.clock, cut=True)

    around = again.bay.present().around
    assert around is not None
    assert around.alone is not None
    assert around.alone.since == since


async def test_a_servers_clock_that_was_set_while_no_station_ran_is_on_record(
    site: Site, bench: Seat
) -> None:
    """Else every time of day in an export would be off by it from then on."""
    await bench.work.to_well("C1", "P-001")
    bench.following._time.keep(bench.work.clock.read())
    clock, before = bench.work.clock, wall_of(bench.bay.board, bench.work.now())
    clock.advance("3:00")
    await bench.die()

    again = await site.open("bench", clock, apart=3_600_000)
    await again.following._look_after()

    (jumped,) = again.told(ClockJumped)
    assert isinstance(jumped, ClockJumped)
    assert abs(jumped.by_span + 3_600_000) <= 2
    after = wall_of(again.bay.board, again.work.now())
    assert abs(after - (before + 180_000 - 3_600_000)) <= 1_000
    assert abs(again.bay.present().wall - after) <= 1_000
