"""Looking on beside the program that runs a station here: that keeps the mirror, and waits for nobody."""

from __future__ import annotations

import json
import re
import socket
import threading
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from builders import START
from own_clock import OwnClock
from patience import PATIENCE_SECONDS
from readbell.assembly import looking_on
from readbell.clock.system import SystemClock
from readbell.core.instant import Span
from readbell.journal.errors import InUseError, LinkLostError
from readbell.journal.lock import JournalLock
from readbell.journal.postgres_link import Link
from readbell.settings.station_file import line_of, read_station_file, write_station_file
from readbell.stations.opening import bring_home
from stations.conftest import APART, arrive, shown

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from readbell.journal.postgres import PostgresJournal
    from wire import Wire


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
