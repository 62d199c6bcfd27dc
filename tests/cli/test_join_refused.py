"""`join`: each thing that is wrong is one sentence, and nothing is left of it."""

from __future__ import annotations

import sqlite3
import threading
from contextlib import ExitStack, closing
from typing import TYPE_CHECKING

import pytest

from builders import START
from cli.join_bench import BAY, _pulses, _untold, asked, founding, left_nothing, record, refused
from own_clock import OwnClock
from patience import PATIENCE_SECONDS
from readbell.core.board.events import Mode
from readbell.core.stations.events import StationJoined
from readbell.journal.errors import JournalError
from readbell.journal.lock import JournalLock
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import listener, read_address
from readbell.journal.postgres_news import Hearing
from readbell.settings.station_file import mirror_of, read_station_file
from readbell.stations.joining import join

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from cli.conftest import Command
    from server import Database


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Give the name of a station file that is not there yet."""
    return tmp_path / "s" / "bay.station"


@pytest.mark.parametrize(
    ("options", "told"),
    [
        pytest.param(["--station", "x" * 41], "--station", id="a name too long"),
        pytest.param(["--station", "a\x1bb"], "--station", id="a name that cannot be seen"),
        pytest.param(["--hears", "bells"], "--hears", id="what nobody hears"),
        pytest.param(["--hears", ","], "--hears", id="nothing to hear"),
        pytest.param(["--bay", " "], "--bay", id="a bay without a name"),
        pytest.param(["--bay", "Otter Lane"], "--new", id="a bay that is not there"),
    ],
)
def test_each_option_that_is_wrong_is_told(
    command: Command, database: Database, path: Path, options: Sequence[str], told: str
) -> None:
    """Nothing was made, here or on the server."""
    record(database, founding())

    done = command("join", database.address, "--journal", path, *options)

    refused(done, told)
    left_nothing(path)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        pytest.param("postgresql", "http", "no address of a server", id="another scheme"),
        pytest.param("lamps", "stones", "~/.pgpass", id="a wrong password"),
        pytest.param("bay_app", "somebody", "~/.pgpass", id="a wrong user"),
    ],
)
def test_a_wrong_address_is_told(
    command: Command, database: Database, path: Path, old: str, new: str, told: str
) -> None:
    """What is wrong with it, and never the password itself."""
    done = command("join", database.address.replace(old, new), "--journal", path)

    refused(done, told)
    left_nothing(path)


def test_a_server_that_is_not_there_is_told(
    command: Command, database: Database, path: Path
) -> None:
    """Whoever joins has to reach it once."""
    port = str(database.server.port)

    done = command("join", database.address.replace(f":{port}/", ":1/"), "--journal", path)

    refused(done, "nobody answers there")
    left_nothing(path)


def test_with_several_bays_it_has_to_be_said_which(
    command: Command, database: Database, path: Path
) -> None:
    """The sentence names them."""
    record(database, founding())
    record(database, founding(), bay="Otter Lane")

    refused(command("join", database.address, "--journal", path), "Harrow Quay, Otter Lane")

    named = command("join", f"{database.address}?bay=Otter%20Lane", "--journal", path)
    assert named.status == 0, named.err
    assert read_station_file(path).bay == "Otter Lane"


def test_a_server_that_was_never_prepared_is_told(
    command: Command, database: Database, path: Path
) -> None:
    """Its administrator has a command for that."""
    name = database.server.new_database("template0")
    try:
        done = command("join", database.server.address(name), "--journal", path)
    finally:
        database.server.drop_database(name)

    refused(done, "readbell journal prepare")


def test_a_rehearsal_is_not_joined(command: Command, database: Database, path: Path) -> None:
    """People would be tested in a record that counts for nothing."""
    record(database, founding(Mode.REHEARSAL))

    refused(command("join", database.address, "--journal", path), "is a rehearsal")
    left_nothing(path)


def test_the_mirror_of_another_bay_is_told(
    command: Command, database: Database, path: Path
) -> None:
    """A station file was deleted by hand, and its mirror is still here."""
    record(database, founding())
    record(database, founding(), StationJoined(at=START, station="w", mark="A"), bay="Otter Lane")
    assert command("join", database.address, "--bay", BAY, "--journal", path).status == 0
    path.unlink()

    done = command("join", database.address, "--bay", "Otter Lane", "--journal", path)

    refused(done, "another bay")
    assert mirror_of(path).is_file()


def test_a_computer_changes_its_bay_only_by_another_file(
    command: Command, database: Database, path: Path
) -> None:
    """What it has of the first one is not to be mixed up, or lost."""
    record(database, founding())
    assert command("join", database.address, "--station", "s", "--journal", path).status == 0

    done = command("join", database.address, "--bay", "Otter Lane", "--new", "--journal", path)

    refused(done, "is station s of bay Harrow Quay")
    assert read_station_file(path).bay == BAY


def test_a_journal_is_never_written_over(
    command: Command, database: Database, tmp_path: Path
) -> None:
    """Somebody named the record of a bay of one's own."""
    journal = tmp_path / "bay.journal"
    with closing(sqlite3.connect(journal)) as connection:
        connection.execute("CREATE TABLE event (seq)")
    before = journal.read_bytes()

    refused(command("join", database.address, "--bay", BAY, "--journal", journal), "stands there")

    assert journal.read_bytes() == before


def test_a_station_that_is_open_is_not_joined_anew(
    command: Command, database: Database, path: Path
) -> None:
    """Its program would go on with what is no more."""
    assert command("join", database.address, "--bay", BAY, "--journal", path).status == 0
    lock = JournalLock(path)
    lock.take()
    try:
        refused(
            command("join", database.address, "--journal", path),
            f"{path}: another readbell has this station open: "
            "leave its board first, then join again\n",
        )
    finally:
        lock.release()


def test_a_name_that_is_at_work_is_taken(database: Database, path: Path) -> None:
    """Two that are one station would hold each other's clocks."""
    record(database, founding(), StationJoined(at=START, station="window", mark="A"))
    stop = _pulses(database, "window")
    try:
        with pytest.raises(JournalError, match="station window is at work already"):
            join(asked(database, "window", path), _untold, pulses_within=PATIENCE_SECONDS)
    finally:
        stop()

    left_nothing(path)


def test_a_name_at_work_whose_computer_answers_late_is_taken(
    database: Database, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is busy, or the way is long: the server knows that it listens, before it has said a word."""
    record(database, founding(), StationJoined(at=START, station="window", mark="A"))
    address = read_address(database.address)
    with closing(PostgresJournal.open(address, BAY)) as bay, ExitStack() as ending:
        listening = threading.Event()
        busy = Hearing(
            address,
            bay.bay_id,
            on_news=lambda _: None,
            on_pulse=lambda _: None,
            on_link=lambda is_up: listening.set() if is_up else None,
            counting=lambda: 0,
            called=listener(bay.bay_id, "window", "busy"),
        )
        ending.callback(busy.close)
        busy.start()
        assert listening.wait(PATIENCE_SECONDS)
        asked_server = PostgresJournal.has_namesake

        def answers_late(server: PostgresJournal, run: str) -> bool:
            if asked_server(server, run):
                ending.callback(_pulses(database, "window"))
                return True
            return False

        monkeypatch.setattr(PostgresJournal, "has_namesake", answers_late)
        with pytest.raises(JournalError, match="station window is at work already"):
            join(asked(database, "window", path), _untold, pulses_within=0.0)

    left_nothing(path)


def test_a_clock_that_is_far_off_is_told(database: Database, path: Path) -> None:
    """An hour: the times of day at this station would be believed by nobody."""
    record(database, founding())

    with pytest.raises(
        JournalError, match=r"the clock of this computer is (1:00:\d\d|59:\d\d) ahead of"
    ) as said:
        join(asked(database, "window", path), _untold, clock=OwnClock(wall=3_600_000))

    assert "lamps" not in str(said.value)
    left_nothing(path)
