"""One alarm, several stations: it rings where it should, once heard it rests everywhere, and it is
put into the record once, whatever becomes of whoever should do so.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import pytest_asyncio

from bay.two_stations import Site
from builders import private, span
from readbell.core.board.acts import HearAlert, MuteSound, RegisterParty
from readbell.core.board.events import MuteReason
from readbell.core.board.sound import CallKind
from readbell.core.cartridge.events import AlertKind, CartridgeLapsed
from readbell.core.stations.acts import GiveUpStation

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

    from bay.two_stations import Seat
    from readbell.core.board.sound import Sound

WAITS, WINDOWS = frozenset({"waits"}), frozenset({"windows"})


@dataclass(kw_only=True)
class Bell:
    """A bell that notes what it was rung for."""

    rung: list[CallKind] = field(default_factory=list)
    can_sound: bool = True
    fault: str | None = None

    def ring(self, sound: Sound) -> None:
        """Note the sound."""
        self.rung.append(sound.kind)


@dataclass(kw_only=True)
class Pair:
    """The station at the window, which hears waits, and that at the bench, which reads."""

    site: Site
    window: Seat
    bench: Seat
    bells: dict[str, Bell]

    def listen(self) -> dict[str, list[CallKind]]:
        """Let each station look once whether it is to ring; return what rang where."""
        for seat in (self.window, self.bench):
            self.bells[seat.name].rung.clear()
            sounder = seat.bay._sounder
            assert sounder is not None
            if seat.work.is_open:
                sounder._look()
        return {name: [*bell.rung] for name, bell in self.bells.items()}

    async def both_follow(self) -> None:
        """Let each take in what the other recorded."""
        for seat in (self.window, self.bench):
            await seat.follow()


@pytest_asyncio.fixture
async def pair(tmp_path: Path) -> AsyncIterator[Pair]:
    """Two stations; a swab stands in its buffer at the window, and another is on the well there."""
    site = Site(folder=tmp_path)
    bells = {"window": Bell(), "bench": Bell()}
    window = await site.open("window", hears=WAITS, bell=bells["window"])
    await window.work.prepare()
    clock = window.work.clock
    bench = await site.open("bench", clock, hears=WINDOWS, bell=bells["bench"])
    await window.follow()
    yield Pair(site=site, window=window, bench=bench, bells=bells)
    await site.close()


async def test_a_wait_calls_the_station_that_swabs_and_a_window_the_one_that_reads(
    pair: Pair,
) -> None:
    """Who hears what is not theirs stops listening."""
    await pair.window.work.to_extract("C1")
    await pair.site.advance("1:00")
    await pair.window.work.ring()
    await pair.bench.follow()

    assert pair.listen() == {"window": [CallKind.WAIT_OVER], "bench": []}

    await pair.window.work.must(pair.window.work.step("withdraw", "C1"))
    await pair.window.work.must(pair.window.work.step("apply", "C1"))
    await pair.site.advance("15:00")
    await pair.window.work.ring()
    await pair.bench.follow()
    assert pair.listen() == {"window": [], "bench": [CallKind.READ_NOW]}


async def test_if_the_one_that_should_hear_is_away_whoever_is_here_hears(pair: Pair) -> None:
    """Better one too many than none."""
    await pair.window.work.to_well("C1")
    await pair.bench.follow()
    await pair.bench.die()
    await pair.site.advance("15:00")
    await pair.window.work.ring()

    assert pair.listen()["window"] == [CallKind.READ_NOW]


async def test_if_nothing_sounds_at_the_one_that_should_hear_whoever_is_here_hears(
    pair: Pair,
) -> None:
    """It is muted, or has no bell: better one too many than none."""
    await pair.window.work.to_well("C1")
    await pair.both_follow()
    await pair.site.advance("15:00")
    assert pair.listen() == {"window": [], "bench": [CallKind.READ_NOW]}

    mute = MuteSound(by="op-1", reason=MuteReason.CONVERSATION, span=span("2:00"))
    assert (await pair.bench.bay.do(mute)).accepted
    pair.site.pulse()
    assert pair.listen() == {"window": [CallKind.READ_NOW], "bench": []}
    await pair.site.advance("2:00")
    pair.site.pulse()
    assert pair.listen() == {"window": [], "bench": [CallKind.READ_NOW]}

    pair.bells["bench"].can_sound = False
    pair.listen()
    pair.site.pulse()
    await pair.site.advance("1:00")
    assert pair.listen()["window"] == [CallKind.CLOSING]


async def test_a_lane_calls_its_own_station(pair: Pair) -> None:
    """Two windows, two lanes: each hears its own people."""
    far = Bell()
    pair.bells["far"] = far
    await pair.site.open(
        "far", pair.window.work.clock, hears=WAITS, lanes=frozenset({"lane 2"}), bell=far
    )
    act = RegisterParty(
        by="op-1",
        party=private("car"),
        persons=(private("P-007"),),
        lane=private("lane 2"),
        note=None,
    )
    assert (await pair.window.bay.do(act)).accepted
    await pair.window.work.to_extract("C7", "P-007")
    await pair.site.advance("1:00")
    await pair.window.work.ring()
    seat = pair.site.seats["far"]
    await seat.follow()
    sounder = seat.bay._sounder
    assert sounder is not None

    sounder._look()

    assert far.rung == [CallKind.WAIT_OVER]


async def test_heard_at_one_station_is_heard_at_all(pair: Pair) -> None:
    """Nobody runs to a call that somebody has answered."""
    pair.bench.presence._pulse = pair.window.presence._pulse.__class__(
        station="bench", mark="B", hears=WAITS | WINDOWS
    )
    pair.site.pulse()
    await pair.window.work.to_extract("C1")
    await pair.site.advance("1:00")
    await pair.window.work.ring()
    await pair.bench.follow()
    assert (await pair.bench.bay.do(HearAlert(by="op-1", cartridge="C1"))).accepted
    await pair.window.follow()
    await pair.site.advance("0:06")

    assert pair.listen() == {"window": [], "bench": []}
    (heard,) = pair.window.bay.board.heard.values()
    assert heard.station == "bench"


async def test_if_the_station_that_heard_it_dies_it_rings_again(pair: Pair) -> None:
    """Nobody knows any more whether somebody is still at it."""
    pair.bench.presence._pulse = pair.window.presence._pulse.__class__(
        station="bench", mark="B", hears=WAITS | WINDOWS
    )
    pair.site.pulse()
    await pair.window.work.to_extract("C1")
    await pair.site.advance("1:00")
    await pair.window.work.ring()
    await pair.bench.follow()
    assert (await pair.bench.bay.do(HearAlert(by="op-1", cartridge="C1"))).accepted
    await pair.window.follow()
    pair.listen()
    await pair.bench.die()

    await pair.site.advance("0:06")
    assert pair.listen()["window"] == []
    await pair.site.advance("0:02")
    assert pair.listen()["window"] == [CallKind.WAIT_OVER]


async def test_a_second_computer_of_this_name_is_heard_at_once(pair: Pair) -> None:
    """Somebody has to end it; the station itself works on."""
    payload = '{"station":"bench","run":"another","beside":true}'
    assert pair.bench.presence.hear(payload) is False

    assert pair.listen()["bench"] == [CallKind.ALONE]
    assert not pair.bench.presence.is_second
    await pair.site.advance("0:10")
    assert pair.listen()["bench"] == []


async def test_a_station_that_is_alone_says_so_at_once_and_each_five_minutes(pair: Pair) -> None:
    """A mute does not reach it: whoever muted counted on the link."""
    mute = MuteSound(by="op-1", reason=MuteReason.CONVERSATION, span=span("9:00"))
    assert (await pair.bench.bay.do(mute)).accepted
    await pair.bench.go_alone()

    assert pair.listen()["bench"] == [CallKind.ALONE]
    for text in ("0:10", "2:00", "2:49"):
        await pair.site.advance(text)
        assert pair.listen()["bench"] == []
    await pair.site.advance("0:01")
    assert pair.listen()["bench"] == [CallKind.ALONE]
    await pair.bench.come_back()
    await pair.site.advance("6:00")
    assert pair.listen()["bench"] == []


async def test_alone_a_station_hears_everything_that_runs(pair: Pair) -> None:
    """It cannot know whether anybody else is there."""
    await pair.bench.work.to_extract("C1")
    await pair.window.follow()
    await pair.bench.go_alone()
    pair.listen()
    await pair.site.advance("1:00")
    await pair.bench.work.ring()

    assert pair.listen()["bench"] == [CallKind.WAIT_OVER]


async def test_the_holder_puts_an_alert_into_the_record_and_the_others_wait(pair: Pair) -> None:
    """Two of them at once would be one too many in the story of each cartridge."""
    await pair.window.work.to_extract("C1")
    await pair.bench.follow()
    await pair.site.advance("1:00")

    assert await pair.bench.work.ring() == []
    assert await pair.window.work.ring() == [(AlertKind.WAIT_OVER, "C1")]
    await pair.bench.follow()
    await pair.site.advance("0:02")
    assert await pair.bench.work.ring() == []


async def test_an_alert_that_its_holder_does_not_record_is_recorded_by_another(pair: Pair) -> None:
    """Late by a second and a half, and not lost."""
    await pair.window.work.to_extract("C1")
    await pair.bench.follow()
    await pair.window.die()
    pair.site.ears.pop("window")
    await pair.site.advance("1:00")
    assert await pair.bench.work.ring() == []

    await pair.site.advance("0:01.500")

    assert await pair.bench.work.ring() == [(AlertKind.WAIT_OVER, "C1")]


async def test_a_lapse_is_not_recorded_for_a_holder_that_is_away_until_it_is_given_up(
    pair: Pair,
) -> None:
    """It may have read the strip in time: what it did nobody here knows."""
    await pair.window.work.to_well("C1")
    await pair.bench.follow()
    await pair.window.go_alone()
    await pair.site.advance("20:00.001")
    await pair.bench.work.ring()
    for _ in range(3):
        await pair.site.advance("0:10")
        await pair.bench.work.ring()
    assert pair.bench.bay.board.labelled("C1") is not None
    assert not pair.bench.work.cartridge("C1").has_ended

    around = pair.bench.bay.present().around
    assert around is not None
    act = GiveUpStation(by="op-1", station="window", heir="bench", away=around.away)
    assert (await pair.bench.bay.do(act)).accepted
    await pair.site.advance("0:10")
    await pair.bench.work.ring()

    assert pair.bench.work.cartridge("C1").has_ended


async def test_a_lapse_that_a_holder_who_is_here_does_not_record_is_recorded_after_ten_seconds(
    pair: Pair,
) -> None:
    """It is here and silent: then somebody else says what is so."""
    await pair.window.work.to_well("C1")
    await pair.bench.follow()
    await pair.site.advance("20:00.001")
    await pair.bench.work.ring()
    assert not pair.bench.work.cartridge("C1").has_ended

    await pair.site.advance("0:10")
    await pair.bench.work.ring()

    assert pair.bench.work.cartridge("C1").has_ended
    lapsed = [
        each
        for news in pair.bench.work.told
        for each in news.events
        if isinstance(each, CartridgeLapsed)
    ]
    assert len(lapsed) == 1


async def test_a_station_that_was_muted_when_its_program_ended_opens_again(pair: Pair) -> None:
    """It says that it is here before its line is begun, and must not ask what time it is then."""
    mute = MuteSound(by="op-1", reason=MuteReason.CONVERSATION, span=span("9:00"))
    assert (await pair.window.bay.do(mute)).accepted
    await pair.window.die()

    again = await pair.site.open("window", pair.window.work.clock, hears=WAITS, bell=Bell())

    assert again.bay.board.muted_until is None
    assert not again.work.found.clean
