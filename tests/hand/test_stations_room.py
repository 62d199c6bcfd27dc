"""The room of the stations, by keys alone: giving up, and settling what is kept apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest_asyncio

from bay.two_stations import Site
from hand.conftest import Hands, find
from readbell.bay.desk import Desk
from readbell.bay.identifiers import RandomIdentifiers
from readbell.core.board.stations import GIVEN_UP_ALREADY, OWN_STATION
from readbell.core.reading.bands import Strength
from readbell.core.stations.events import StationLeft
from readbell.core.stations.station import StationState
from readbell.hand.aloud import said_aloud
from readbell.hand.doing import Judging, Room, Visiting, Watching
from readbell.hand.given import Key, Pressed
from readbell.hand.idle_keys import idle_keys
from readbell.hand.stations_room import (
    HAS_LEFT,
    HINT,
    NOT_A_STATION,
    NOT_APART,
    NOT_AWAY,
    aloud,
    held_by,
)
from readbell.phrases.apart_bands import event_kept
from readbell.phrases.station_words import NOT_ALLOWED

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path


@pytest_asyncio.fixture
async def site(tmp_path: Path) -> AsyncIterator[Site]:
    """Two stations of one bay."""
    made = Site(folder=tmp_path)
    bench = await made.open("bench")
    await bench.work.prepare()
    await made.open("window", bench.work.clock)
    await bench.follow()
    yield made
    await made.close()


@pytest_asyncio.fixture
async def at_bench(site: Site) -> Hands:
    """Hands at the bench, in the room."""
    desk = Desk(identifiers=RandomIdentifiers(), find_assay=find)
    hands = Hands(work=site.seats["bench"].work, desk=desk)
    hands.hand = hands.hand.now_doing(Visiting(room=Room.STATIONS))
    return hands


async def silent(site: Site, name: str) -> None:
    """Let nothing be heard of a station for long enough."""
    await site.seats[name].go_alone()
    await site.advance("0:08")


async def apart(site: Site) -> None:
    """Leave a reading of the bench kept apart: its strip was read at the window as well."""
    bench, window = site.seats["bench"], site.seats["window"]
    await bench.work.to_well("C1")
    await window.follow()
    await bench.go_alone()
    await site.advance("15:00")
    hands = Hands(work=window.work, desk=Desk(identifiers=RandomIdentifiers(), find_assay=find))
    hands.hand = hands.hand.now_doing(Visiting(room=Room.STATIONS))
    await hands.press(Key.VOID, Key.VOID)
    await window.work.must(window.work.read("C1", Strength.CLEAR))
    await bench.work.ring()
    await bench.work.must(bench.work.read("C1"))
    await bench.come_back()


async def test_the_room_is_there_where_a_bay_has_stations(at_bench: Hands) -> None:
    """It stands at the end of the row."""
    await at_bench.press(Key.RIGHT)
    assert at_bench.in_hand() == Visiting(room=Room.LOTS)
    await at_bench.press(Key.LEFT)
    assert at_bench.in_hand() == Visiting(room=Room.STATIONS)


async def test_the_room_tells_that_the_mirror_takes_nothing(site: Site, at_bench: Hands) -> None:
    """What it lacks stays in memory, and nobody else could say that the disk is full."""
    bench = site.seats["bench"]
    assert not any("mirror" in each for each in aloud(at_bench.scene))
    bench.journal.mirror._connection.pragma("max_page_count", 1)
    for number in range(40):
        await bench.work.must(bench.work.label(f"C{number}"))

    (said,) = (each for each in aloud(at_bench.scene) if "The mirror of the record here" in each)

    assert "cannot be written" in said
    assert said.endswith("Make room on this disk.")


async def test_a_station_that_is_here_is_not_given_up(at_bench: Hands) -> None:
    """Its people would be locked out of their own strips; and nobody gives up where they are."""
    for why in (NOT_ALLOWED[OWN_STATION], NOT_AWAY):
        await at_bench.press(Key.VOID)
        assert at_bench.words == why
        await at_bench.press(Key.DOWN)
    assert idle_keys(at_bench.in_hand(), at_bench.scene) == {Key.DONE, Key.SECOND, Key.VOID}


async def test_a_station_that_is_away_is_given_up_by_the_second_press(
    site: Site, at_bench: Hands
) -> None:
    """The first says what it means; moving away from it takes the question back."""
    await site.seats["window"].work.must(site.seats["window"].work.label("C1"))
    await site.seats["bench"].follow()
    await silent(site, "window")
    await at_bench.press(Key.DOWN)
    assert idle_keys(at_bench.in_hand(), at_bench.scene) == {Key.DONE, Key.SECOND}
    await at_bench.press(Key.VOID)
    assert "1 cartridge that it holds passes to this station" in at_bench.words
    await at_bench.press(Key.UP, Key.DOWN, Key.VOID)
    assert "F12 once more" in at_bench.words

    at_bench.wait("0:01")
    await at_bench.press(Key.VOID)

    assert at_bench.fine, at_bench.words
    board = at_bench.work.bay.board
    assert board.stations["window"].state is StationState.GIVEN_UP
    assert set(board.holders.values()) == {"bench"}


async def test_what_left_or_was_given_up_or_is_not_known_from_here_says_why(
    site: Site, at_bench: Hands
) -> None:
    """What is said of a station that is here would be true of none of these."""
    window = site.seats["window"]
    await window.work.must(window.work.label("C1"))
    await window.work.bay.note_made(lambda _, now: [StationLeft(at=now, station="window")])
    await site.seats["bench"].follow()
    await at_bench.press(Key.DOWN, Key.VOID)
    assert at_bench.words == HAS_LEFT
    assert held_by(at_bench.work.bay.board)["window"] == 0
    assert idle_keys(at_bench.in_hand(), at_bench.scene) == {Key.DONE, Key.SECOND, Key.VOID}

    await site.seats["bench"].go_alone()
    await at_bench.press(Key.VOID)
    assert "This station is alone" in at_bench.words


async def test_a_station_that_was_given_up_already_is_not_given_up_again(
    site: Site, at_bench: Hands
) -> None:
    """Nothing would change."""
    await silent(site, "window")
    await at_bench.press(Key.DOWN, Key.VOID, Key.VOID)
    at_bench.wait("0:01")
    await at_bench.press(Key.VOID)
    assert at_bench.words == NOT_ALLOWED[GIVEN_UP_ALREADY]
    assert idle_keys(at_bench.in_hand(), at_bench.scene) == {Key.DONE, Key.SECOND, Key.VOID}


async def test_nobody_signed_on_settles_and_gives_up_nothing(at_bench: Hands) -> None:
    """It is somebody's word."""
    at_bench.hand = at_bench.hand.__class__(doing=at_bench.hand.doing, operator=None)

    await at_bench.press(Key.VOID)

    assert "Nobody is signed on" in at_bench.words


async def test_keys_of_the_other_kind_say_what_they_are_for(site: Site, at_bench: Hands) -> None:
    """A station is not settled, and an act is not given up."""
    await at_bench.press(Key.DONE)
    assert at_bench.words == NOT_APART
    await at_bench.press(Key.START)
    assert at_bench.words == HINT
    await apart(site)
    await at_bench.press(Key.VOID)
    assert at_bench.words == NOT_A_STATION
    assert idle_keys(at_bench.in_hand(), at_bench.scene) == {Key.VOID}


async def test_what_is_kept_apart_is_settled_by_saying_what_was_done(
    site: Site, at_bench: Hands
) -> None:
    """It leaves the list, and its story stays on record."""
    await apart(site)
    board = at_bench.work.bay.board
    assert board.apart
    assert all(event_kept(each) is not None for each in board.apart.values())
    lines = list(said_aloud(at_bench.hand, at_bench.scene))
    assert any("Kept apart, " in each and "a reading of C1" in each for each in lines)
    assert any("C present" in each for each in lines)

    count = len(board.apart)
    await at_bench.press(Key.SECOND)
    assert at_bench.fine, at_bench.words
    assert len(at_bench.work.bay.board.apart) == count - 1
    for _ in range(count - 1):
        await at_bench.press(Key.DONE)
    assert not at_bench.work.bay.board.apart


async def test_in_plain_lines_the_room_says_who_is_here(site: Site, at_bench: Hands) -> None:
    """A line each, with what it hears and holds."""
    lines = list(said_aloud(at_bench.hand, at_bench.scene))

    assert "  Station bench, mark A: this one. Hears waits and windows. Holds none." in lines
    await silent(site, "window")
    lines = list(said_aloud(at_bench.hand, at_bench.scene))
    assert "  Station window, mark B: AWAY. Holds none." in lines


async def test_alone_a_label_that_is_offered_begins_with_the_mark(
    site: Site, at_bench: Hands
) -> None:
    """Whoever writes it on the device need not know why."""
    await at_bench.give(Pressed(Key.ROOMS))
    assert at_bench.in_hand() == Watching()
    await at_bench.scan("L-100")
    await site.seats["bench"].go_alone()
    await at_bench.scan("P-001")

    assert "write A-C01 on it" in at_bench.words
    await at_bench.press(Key.START)
    assert at_bench.work.bay.board.labelled("A-C01") is not None


async def test_a_strip_whose_clock_runs_elsewhere_opens_no_form_that_could_not_be_saved(
    site: Site, at_bench: Hands
) -> None:
    """It is refused before anything is filled in, by a scan as by a key."""
    bench, window = site.seats["bench"], site.seats["window"]
    await window.work.to_well("C1")
    await bench.follow()
    await site.advance("15:00")
    at_bench.hand = at_bench.hand.now_doing(Watching())
    await bench.go_alone()

    await at_bench.scan("C1")
    assert "Its clock runs at station window" in at_bench.words
    assert at_bench.in_hand() == Watching()
    for key in (Key.READ, Key.LOOK, Key.VOID):
        at_bench.wait("0:03")
        await at_bench.press(key)
        assert "Its clock runs at station window" in at_bench.words
        assert at_bench.in_hand() == Watching()

    await bench.come_back()
    at_bench.wait("0:03")
    site.pulse()
    await at_bench.scan("C1")
    assert isinstance(at_bench.in_hand(), Judging)
