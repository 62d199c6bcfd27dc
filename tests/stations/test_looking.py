"""Looking on at a shared bay: from the mirror, with what is new on the server brought home first."""

from __future__ import annotations

import asyncio
from contextlib import aclosing, closing
from typing import TYPE_CHECKING

import pytest

from builders import START
from journal.samples import arrivals
from own_clock import OwnClock
from patience import PATIENCE_SECONDS
from readbell.assembly import follow, looking_on
from readbell.cli.line_mode import LineMode
from readbell.core.people.events import PersonRegistered
from readbell.journal.continuation import Continuation
from readbell.journal.errors import LinkLostError
from readbell.stations.opening import bring_home, open_station
from stations.conftest import APART, arrive, shown

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.journal.postgres import PostgresJournal
    from wire import Wire


def test_a_look_finds_what_was_recorded_since_the_last_one(
    record: PostgresJournal, path: Path
) -> None:
    """A wall on the supervisor's computer follows without a board of its own."""
    assert bring_home(path) is None
    with closing(looking_on(path)) as wall:
        first = wall.look()
        arrive(record, "P-1", "P-2")
        second = wall.look()
        third = wall.look()

        assert len(first.board.persons) == 0
        assert [type(each) for each in second.events] == [PersonRegistered, PersonRegistered]
        assert set(third.board.persons) == {"P-1", "P-2"}
        assert third.events == ()
        assert wall.is_kept()
        assert wall.recorded_at() == START


def test_while_the_link_is_lost_the_first_look_shows_what_is_here(
    record: PostgresJournal, path: Path, wire: Wire
) -> None:
    """Then it says that it does not follow; and follows again once the link is back."""
    arrive(record, "P-1")
    assert bring_home(path) is None
    wire.cut()
    with closing(looking_on(path)) as wall:
        assert set(wall.look().board.persons) == {"P-1"}
        with pytest.raises(LinkLostError):
            wall.look()

        wire.mend()
        arrive(record, "P-2")

        assert set(wall.look().board.persons) == {"P-1", "P-2"}


def test_what_a_station_did_alone_is_shown_as_done_alone(
    record: PostgresJournal, path: Path
) -> None:
    """It lies beside the station file: saved here, and not on the server yet."""
    assert bring_home(path) is None
    end = record.head()
    beside = Continuation.begin(path, (), end, "token")
    beside.append(arrivals("P-9", after=end))
    with closing(looking_on(path)) as wall:
        news = wall.look()

    assert news.not_saved is None
    assert news.around is not None
    assert news.around.alone is not None
    assert news.around.station == "wall"


def test_coming_up_to_date_tells_why_it_could_not(
    record: PostgresJournal, path: Path, wire: Wire
) -> None:
    """The sentence is the one that whoever joins would be told."""
    arrive(record, "P-1")
    assert bring_home(path) is None
    wire.cut()

    why = bring_home(path)

    assert why is not None
    assert "nobody answers there" in why
    with closing(open_station(path).journal) as journal:
        assert not journal.is_linked
        assert journal.head() == record.head()


async def test_whoever_follows_is_told_that_the_link_is_lost_and_that_it_is_back(
    record: PostgresJournal, path: Path, wire: Wire
) -> None:
    """A cable pulled out ends nothing: `watch` says since when, and goes on."""
    assert bring_home(path) is None
    voice = LineMode()
    async with aclosing(follow(path)) as looks:  # type: ignore[type-var]
        first = await anext(looks)
        wire.cut()
        lost = await asyncio.wait_for(anext(looks), PATIENCE_SECONDS)
        wire.mend()
        arrive(record, "P-1")
        back = await asyncio.wait_for(anext(looks), PATIENCE_SECONDS)

    assert first.lost_since is None
    assert lost.lost_since == first.at
    (said,) = (each.words for each in voice.following(lost))
    assert "NOT FOLLOWED since " in said
    assert "the link to its server is lost" in said
    assert list(voice.following(lost)) == []
    assert back.lost_since is None
    assert [type(each) for each in back.events] == [PersonRegistered]
    (said,) = (each.words for each in voice.following(back))
    assert said.endswith("The link is back: the bay is followed again.")


async def test_whoever_follows_is_told_that_the_station_is_alone(
    record: PostgresJournal, path: Path
) -> None:
    """A program of this computer began beside the record: nothing of that is an event here yet."""
    assert bring_home(path) is None
    async with aclosing(follow(path)) as looks:  # type: ignore[type-var]
        first = await anext(looks)
        end = record.head()
        Continuation.begin(path, (), end, "token").append(arrivals("P-9", after=end))
        alone = await asyncio.wait_for(anext(looks), PATIENCE_SECONDS)

    assert first.around is None
    assert alone.events == ()
    assert alone.around is not None
    assert alone.around.alone is not None


def test_a_countdown_is_right_on_a_computer_whose_clock_is_wrong(
    record: PostgresJournal, path: Path
) -> None:
    """The wall clock of whoever looks on is an hour ahead: the strip is not an hour older for that."""
    record.line_offset = -500
    arrive(record, "P-1")
    assert bring_home(path) is None

    before = record.server_now()
    news = shown(path, OwnClock(wall=3_600_000))
    after = record.server_now()

    assert before - APART <= news.at + 500 <= after + APART
    assert before - APART <= news.wall <= after + APART
