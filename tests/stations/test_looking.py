"""Looking on at a shared bay: from the mirror, with what is new on the server brought home first."""

from __future__ import annotations

import asyncio
import json
import re
import socket
import threading
from concurrent.futures import ThreadPoolExecutor
from contextlib import aclosing, closing
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from builders import START
from journal.samples import arrivals, chain
from own_clock import OwnClock
from patience import PATIENCE_SECONDS
from readbell.assembly import follow, looking_on
from readbell.bay.onlooker import Onlooker
from readbell.cli.line_mode import LineMode
from readbell.clock.system import SystemClock
from readbell.core.board.events import BayFounded, Mode, ProgramStarted
from readbell.core.instant import Span
from readbell.core.people.events import PersonRegistered
from readbell.journal.continuation import Continuation
from readbell.journal.errors import InUseError, LinkLostError
from readbell.journal.lock import JournalLock
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address
from readbell.journal.postgres_link import Link
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal
from readbell.settings.station_file import (
    StationFile,
    line_of,
    mirror_of,
    read_station_file,
    write_station_file,
)
from readbell.stations.looking import StationLookout
from readbell.stations.opening import bring_home, open_station

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from readbell.bay.news import News
    from server import Database
    from wire import Wire

BAY = "Harrow Quay"
APART = 2_000
"""Milliseconds by which two clocks may be taken for one another, as a busy machine measures them."""


@pytest.fixture
def record(database: Database) -> Iterator[PostgresJournal]:
    """Give a record on the server, as another station writes it."""
    made = PostgresJournal.open(read_address(database.address), BAY, station="bench", found=True)
    with closing(made):
        founded = BayFounded(at=START, bay=BAY, timezone="UTC", mode=Mode.LIVE)
        started = ProgramStarted(at=START, clean=True, away=Span(0), running=0)
        made.append(chain([founded, started]), Head())
        yield made


@pytest.fixture
def path(tmp_path: Path, database: Database, wire: Wire) -> Path:
    """Give the station file of a computer that joined, by way of a wire that can be cut."""
    made = tmp_path / "bay.station"
    address = database.through(wire)
    write_station_file(made, StationFile(address=address, bay=BAY, station="wall", mark="W"))
    return made


def arrive(record: PostgresJournal, *names: str) -> None:
    """Let somebody arrive at the other station."""
    end = record.head()
    record.append(arrivals(*names, after=end), end)


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


def test_a_program_that_runs_the_bay_here_is_left_to_it(
    record: PostgresJournal, path: Path
) -> None:
    """Two that write to one mirror would break it."""
    assert bring_home(path) is None
    lock = JournalLock(path)
    lock.take()
    try:
        with closing(looking_on(path)) as wall:
            arrive(record, "P-1")
            assert len(wall.look().board.persons) == 0
    finally:
        lock.release()


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


def kept_by_its_program(path: Path, *, alone: int | None, ago: Span = Span(0)) -> None:
    """Write what the program that runs the station at `path` keeps of itself."""
    now = SystemClock().read()
    said = {
        "at": START,
        "wall": START,
        "counting": now.counting - ago,
        "boot": now.boot,
        "offset": 0,
        "alone": alone,
    }
    line_of(path).write_text(json.dumps(said), encoding="ascii")


def test_whoever_only_reads_is_told_that_the_program_here_is_alone(
    record: PostgresJournal, path: Path
) -> None:
    """A sheet printed from the mirror would have drops due that were given a minute ago."""
    arrive(record, "P-1")
    assert bring_home(path) is None
    kept_by_its_program(path, alone=START)
    assert bring_home(path) is None, "nobody runs it by now, and the server was reached"

    lock = JournalLock(path)
    lock.take()
    try:
        kept_by_its_program(path, alone=None)
        assert bring_home(path) is None
        kept_by_its_program(path, alone=START)
        why = bring_home(path)
        with closing(looking_on(path)) as wall:
            around = wall.look().around
    finally:
        lock.release()

    assert why is not None
    assert "is alone, and what was done at it since is not told here" in why
    assert around is not None
    assert around.alone is not None
    assert around.alone.since == START


@pytest.mark.usefixtures("record")
def test_whoever_only_reads_is_told_that_the_disk_here_takes_nothing(path: Path) -> None:
    """The board follows all the same, and shows cartridges that the mirror does not have."""
    assert bring_home(path) is None
    lock = JournalLock(path)
    lock.take()
    try:
        kept_by_its_program(path, alone=None)
        at_once = bring_home(path)
        kept_by_its_program(path, alone=None, ago=Span(95_000))
        why = bring_home(path)
        line_of(path).unlink()
        assert bring_home(path) is None, "of a program that keeps nothing yet nothing is said"
    finally:
        lock.release()

    assert at_once is None
    assert why is not None
    assert re.search(r"has put nothing on its disk for \d+ s: is that full", why)


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


class NobodyAnswers:
    """A server that takes a connection and says nothing, until somebody has begun to wait for it."""

    def __init__(self, path: Path) -> None:
        self._door = socket.create_server(("127.0.0.1", 0))
        self._path = path
        self.began: bool | None = None
        """Whether a board could begin at this computer while somebody waited."""
        file = read_station_file(path)
        port = self._door.getsockname()[1]
        address = re.sub(r"127\.0\.0\.1:\d+", f"127.0.0.1:{port}", file.address)
        write_station_file(path, replace(file, address=address))
        self._thread = threading.Thread(target=self._answer)
        self._thread.start()

    def _answer(self) -> None:
        client, _ = self._door.accept()
        lock = JournalLock(self._path)
        try:
            lock.take()
        except InUseError:
            self.began = False
        else:
            self.began = True
            lock.release()
        client.close()
        self._door.close()

    def has_let_begin(self) -> bool:
        """Say whether a board could begin meanwhile."""
        self._thread.join(PATIENCE_SECONDS)
        return self.began is True


@pytest.mark.usefixtures("record")
def test_a_board_can_begin_alone_while_somebody_who_looks_on_waits_for_the_server(
    path: Path,
) -> None:
    """On a dead network a wall waits nearly all the time."""
    assert bring_home(path) is None
    nobody = NobodyAnswers(path)
    with closing(looking_on(path)) as wall:
        wall.look()

    assert nobody.has_let_begin()


@pytest.mark.usefixtures("record")
def test_a_board_can_begin_alone_while_somebody_who_follows_waits_for_a_server_that_fell_silent(
    path: Path, wire: Wire, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A plug was pulled: it takes seconds to find that out, and a strip develops meanwhile."""
    assert bring_home(path) is None
    asks, ask = threading.Event(), Link.ask

    def noted(link: Link, statement: bytes, parameters: Sequence[Any] = ()) -> list[Any]:
        asks.set()
        return ask(link, statement, parameters)

    with closing(looking_on(path)) as wall, ThreadPoolExecutor() as elsewhere:
        wall.look()
        wall.look()
        wire.hold()
        monkeypatch.setattr(Link, "ask", noted)
        looking = elsewhere.submit(wall.look)
        assert asks.wait(PATIENCE_SECONDS)

        lock = JournalLock(path)
        lock.take()

        lock.release()
        wire.cut()
        with pytest.raises(LinkLostError):
            looking.result(PATIENCE_SECONDS)


@pytest.mark.usefixtures("record")
def test_a_board_can_begin_alone_while_a_command_waits_for_the_server(path: Path) -> None:
    """It reads what is here, and somebody's strip develops."""
    assert bring_home(path) is None
    nobody = NobodyAnswers(path)

    assert bring_home(path) is not None
    assert nobody.has_let_begin()


@pytest.mark.usefixtures("record")
def test_whoever_looks_on_beside_a_program_that_runs_here_asks_no_server(
    path: Path, wire: Wire
) -> None:
    """That one has the link, and has the mirror."""
    assert bring_home(path) is None
    lock = JournalLock(path)
    lock.take()
    wire.cut()
    try:
        with closing(looking_on(path)) as wall:
            wall.look()
            wall.look()  # a link that is lost would be told
    finally:
        lock.release()


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


def shown(path: Path, clock: OwnClock) -> News:
    """Return what somebody sees who looks on from a computer with `clock`."""
    with closing(SqliteJournal.open(mirror_of(path), read_only=True)) as mirror:
        lookout = StationLookout(path, Onlooker(mirror, path, (), clock), clock)
        with closing(lookout):
            return lookout.look()


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


def test_beside_a_program_that_runs_here_its_line_is_taken(
    record: PostgresJournal, path: Path
) -> None:
    """It keeps how the clocks of this computer stand to the line, and nobody else needs to ask."""
    arrive(record, "P-1")
    assert bring_home(path) is None
    read = SystemClock().read()
    kept = {
        "at": START,
        "wall": read.wall,
        "counting": read.counting,
        "boot": read.boot,
        "offset": START - read.wall,
    }
    line_of(path).write_text(json.dumps(kept))
    lock = JournalLock(path)
    lock.take()
    try:
        news = shown(path, OwnClock(wall=3_600_000))
    finally:
        lock.release()
    after = SystemClock().read()

    assert 0 <= news.at - START <= after.counting - read.counting + APART
    assert read.wall - APART <= news.wall <= after.wall + APART
