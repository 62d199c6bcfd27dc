"""Every command takes a station file where it takes a journal, and says the same of the same record."""

from __future__ import annotations

import json
import os
import re
import signal
import sqlite3
import subprocess
import sys
from contextlib import ExitStack, closing
from typing import TYPE_CHECKING

import psycopg
import pytest

from cli.past_bay import ADA, PastBay
from patience import PATIENCE_SECONDS
from readbell.core.keeping.events import RecordErased
from readbell.core.staff.acts import PinCheck
from readbell.core.staff.events import RecordOpened
from readbell.core.stations.events import StationJoined, StationLeft
from readbell.journal.lock import JournalLock
from readbell.journal.pin_file import PinFileError
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify
from readbell.settings.station_file import mirror_of, record_of
from readbell.stations.pins import StationPins

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Reading
    from readbell.journal.record import Head
    from server import Database
    from wire import Wire

BAY = "Harrow Quay"
MADE_ANEW = "move it away, and it is made anew from the server\n"


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    """A bay of one's own whose work lies back."""
    return PastBay(roles=True).put(tmp_path / "bay.journal")


@pytest.fixture
def station(command: Command, journal: Path, database: Database, tmp_path: Path) -> Path:
    """The same record on a server, and a station that joined it."""
    return joined(command, journal, database, tmp_path, database.address)


def joined(command: Command, journal: Path, database: Database, folder: Path, address: str) -> Path:
    """Copy `journal` to the server, and join it from `folder` by way of `address`."""
    copied = command("journal", "copy", journal, f"{database.address}?bay=Harrow%20Quay")
    assert copied.status == 0, copied.err
    path = folder / "bay.station"
    done = command("join", address, "--station", "window", "--journal", path)
    assert done.status == 0, done.err
    return path


def without(said: str, path: Path) -> str:
    """Return what was said without the time of day, and without the name of the file."""
    return re.sub(r"\d\d:\d\d:\d\d", "TIME", said.replace(str(path), "FILE"))


def end_on_server(database: Database) -> Head:
    """Return the end of the record on the server, each event checked."""
    with closing(PostgresJournal.open(read_address(database.address), BAY)) as server:
        return verify(server).head


@pytest.mark.parametrize(
    "words",
    [
        pytest.param(("watch", "--once"), id="watch"),
        pytest.param(("operator", "list"), id="operator list"),
        pytest.param(("figures", "--by", "assay", "--operator", "op-1"), id="figures with a look"),
        pytest.param(("tell", "--list", "--by", "op-1", "--json"), id="tell"),
        pytest.param(("shift", "list", "--json"), id="shift list"),
        pytest.param(("export", "unsent", "--json"), id="export unsent"),
    ],
)
def test_what_is_read_says_the_same_of_a_shared_bay(
    command: Command, journal: Path, station: Path, words: tuple[str, ...]
) -> None:
    """Nobody has to know where the record stands to read it."""
    own = command(*words, "--journal", journal)
    shared = command(*words, "--journal", station)

    assert (own.status, own.err) == (shared.status, shared.err) == (0, "")
    assert without(own.out, journal) == without(shared.out, station)


def test_a_look_is_on_record_at_the_server(
    command: Command, station: Path, database: Database, events_in: Reading
) -> None:
    """Who looked is known at every station; the command was a station for that moment."""
    done = command("trace", "--patient", ADA, "--by", "op-1", "--journal", station, "--json")

    assert done.status == 0, done.err
    assert json.loads(done.out.splitlines()[0])["kind"] == "person-registered"
    events = events_in(mirror_of(station))
    assert [type(each) for each in events if isinstance(each, RecordOpened)] == [RecordOpened]
    assert [type(each) for each in events if isinstance(each, (StationJoined, StationLeft))] == [
        StationJoined,
        StationLeft,
    ]
    assert end_on_server(database).seq == len(events)


def test_verify_checks_what_is_here_against_its_end(
    command: Command, journal: Path, station: Path
) -> None:
    """The head that was written down at the end of a day is found in the mirror as well."""
    own = json.loads(command("verify", "--journal", journal, "--json").out)

    done = command("verify", "--journal", station, "--head", own["head"], "--json")

    assert json.loads(done.out) == own | {"journal": str(station)}


def test_a_backup_is_a_record_that_opens_without_a_server(
    command: Command, station: Path, tmp_path: Path, database: Database
) -> None:
    """It is a journal of one's own, whole, with the head of the shared one."""
    target = tmp_path / "copy.journal"

    done = command("backup", "--journal", station, "--to", target)

    assert done.status == 0, done.err
    with closing(SqliteJournal.open(target, read_only=True)) as copy:
        assert verify(copy).head == end_on_server(database)
    assert record_of(target) == target


def test_an_archive_is_written_of_a_shared_bay(
    command: Command, station: Path, tmp_path: Path, database: Database
) -> None:
    """Written here, noted there."""
    target = tmp_path / "march.journal"
    before = end_on_server(database)

    done = command(
        *("archive", "--through", "2026-03-31", "--out", target, "--by", "op-1"),
        *("--reason", "the month is over", "--journal", station),
    )

    assert done.status == 0, done.err
    with closing(SqliteJournal.open(target, read_only=True)) as archive:
        assert archive.is_archive
        assert verify(archive).head == before
    assert end_on_server(database).seq > before.seq


def test_what_is_erased_is_gone_on_the_server_and_here(
    command: Command, station: Path, database: Database, events_in: Reading
) -> None:
    """No copy of who it was stays at the station, in the file or its log."""
    done = command(
        *("erase", "--patient", ADA, "--by", "op-1", "--reason", "asked in writing"),
        *("--for-ever", "--journal", station),
    )

    assert done.status == 0, done.err
    erased = [each for each in events_in(mirror_of(station)) if isinstance(each, RecordErased)]
    assert len(erased) == 1
    with closing(PostgresJournal.open(read_address(database.address), BAY)) as server:
        assert verify(server).unexplained == 0
        assert all(
            (row := server.private(key)) is None or row.value is None for key in erased[0].keys
        )
    for file in station.parent.glob(f"{mirror_of(station).name}*"):
        assert b"Ada Example" not in file.read_bytes()


def test_without_the_server_the_record_is_read_as_of_when_it_was_here(
    command: Command, journal: Path, database: Database, tmp_path: Path, wire: Wire
) -> None:
    """A line says of when; what is printed for programs is as ever."""
    station = joined(command, journal, database, tmp_path, database.through(wire))
    with_server = command("operator", "list", "--journal", station)
    wire.cut()

    done = command("operator", "list", "--journal", station)

    assert done.status == 0
    assert done.out == with_server.out
    assert "Here is the record as bay.station.mirror has it, to event " in done.err
    assert "lamps" not in done.err


@pytest.mark.skipif(os.name != "posix", reason="ends the onlooker by a signal")
def test_an_onlooker_goes_on_when_the_link_is_lost_and_when_it_is_back(
    command: Command, journal: Path, database: Database, tmp_path: Path, wire: Wire
) -> None:
    """The real program: a cable pulled out must not end the second screen."""
    station = joined(command, journal, database, tmp_path, database.through(wire))
    words = (sys.executable, "-m", "readbell", "watch", "--journal", str(station))
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as watch, ExitStack() as ending:
        ending.callback(watch.kill)  # or whatever went wrong would wait for it for ever
        assert watch.stdout is not None
        for line in watch.stdout:
            if line.startswith("Records checked"):
                break
        wire.cut()
        lost = watch.stdout.readline()
        wire.mend()
        back = watch.stdout.readline()
        watch.send_signal(signal.SIGINT)
        status = watch.wait(PATIENCE_SECONDS)

    assert re.search(r"NOT FOLLOWED since \d\d:\d\d:\d\d: the link to its server is lost", lost)
    assert "The link is back: the bay is followed again." in back
    assert status == 0


def test_a_station_that_never_saw_its_record_cannot_begin_alone(
    command: Command, journal: Path, database: Database, tmp_path: Path, wire: Wire
) -> None:
    """There is nothing to go on with."""
    station = joined(command, journal, database, tmp_path, database.through(wire))
    for file in station.parent.glob(f"{mirror_of(station).name}*"):
        file.unlink()
    wire.cut()

    done = command("operator", "list", "--journal", station)

    assert done.status == 2
    assert "cannot begin alone" in done.err


def test_a_mirror_that_is_damaged_is_made_anew_from_the_server(
    command: Command, station: Path
) -> None:
    """The sentence says what to do, and that is all there is to it."""
    mirror = mirror_of(station)
    whole = mirror.read_bytes()
    place = whole.index(b"operator-registered")
    mirror.write_bytes(whole[:place] + b"X" * 4_096 + whole[place + 4_096 :])

    told = [command(*words, "--journal", station) for words in (("watch", "--once"), ("verify",))]
    assert all(each.status != 0 for each in told)
    assert all(each.err.endswith(MADE_ANEW) for each in told), told

    for file in station.parent.glob(f"{mirror.name}*"):
        file.rename(file.with_name(f"old-{file.name}"))
    assert command("watch", "--once", "--journal", station).status == 0


def test_a_mirror_that_was_changed_is_no_reason_to_restore_a_backup(
    command: Command, station: Path
) -> None:
    """The record itself is whole on the server: a backup brought back would be an older one."""
    mirror = mirror_of(station)
    with closing(sqlite3.connect(mirror)) as found:
        found.execute("DROP TRIGGER event_stays")
        found.execute("UPDATE event SET body = replace(body, 'a', 'b') WHERE seq = 2")
        found.commit()

    told = [command(*words, "--journal", station) for words in (("watch", "--once"), ("verify",))]
    assert [each.status for each in told] == [1, 1]
    for each in told:
        assert each.err.endswith(MADE_ANEW), each.err
        assert str(mirror) in each.err
        assert "restore a backup" not in each.err


def test_a_program_that_runs_the_bay_keeps_the_mirror(command: Command, station: Path) -> None:
    """Whoever only looks leaves it to that one, and finds what it has."""
    lock = JournalLock(station)
    lock.take()
    try:
        done = command("operator", "list", "--journal", station)
    finally:
        lock.release()

    assert done.status == 0
    assert done.err == ""
    assert "op-1" in done.out


@pytest.mark.parametrize(
    ("word", "why"),
    [
        ("lock", "ask its administrator to encrypt that disk, and encrypt this computer's own"),
        ("unlock", "it has no passphrase here that could be taken away"),
    ],
)
def test_a_shared_bay_is_locked_by_encrypting_disks(
    command: Command, station: Path, word: str, why: str
) -> None:
    """A passphrase here would not make the server's copy any safer, and there is none to take away."""
    done = command(word, "--journal", station)

    assert (done.status, done.out) == (2, "")
    assert done.err.startswith(f"{station}: this is a station of a shared bay")
    assert why in done.err
    assert len(done.err.splitlines()) == 1


def test_a_backup_does_not_come_back_over_a_station(
    command: Command, station: Path, tmp_path: Path
) -> None:
    """Nobody is told to move away what this computer is joined by; a file of its own takes it."""
    kept = station.read_bytes()
    backup = tmp_path / "copy"
    assert command("backup", "--journal", station, "--to", backup).status == 0
    done = command("restore", "--from", backup, "--journal", station)

    assert (done.status, done.out) == (2, "")
    assert done.err.startswith(f"{station}: this is a station of a shared bay")
    assert "leave its files where they are" in done.err
    assert "move it away" not in done.err
    assert station.read_bytes() == kept
    assert command("restore", "--from", backup, "--journal", tmp_path / "own").status == 0


def test_the_doctor_says_how_the_link_is(
    command: Command, journal: Path, database: Database, tmp_path: Path, wire: Wire
) -> None:
    """Which station, which server, how quick, and how far the clocks are apart; never a password."""
    station = joined(command, journal, database, tmp_path, database.through(wire))

    done = command("doctor", "--journal", station)

    assert "station     window, mark A, of bay Harrow Quay" in done.out
    assert f"127.0.0.1:{wire.port}" in done.out
    assert "the wall clock here is 0.0" in done.out
    wire.cut()
    assert "not reached" in command("doctor", "--journal", station).out
    station.write_text(station.read_text().replace('mark = "A"', 'mark = "a"'))
    assert "wrong: " in command("doctor", "--journal", station).out
    assert "lamps" not in done.out


def test_a_mirror_is_not_worked_in_as_if_it_were_a_journal(command: Command, station: Path) -> None:
    """Whatever was recorded there would never come to the server, and nobody would know."""
    before = mirror_of(station).read_bytes()

    done = command("bay", "--journal", mirror_of(station))

    assert done.status == 2
    assert f"name {station} instead" in done.err
    assert mirror_of(station).read_bytes() == before


def test_a_pin_that_is_set_at_one_station_holds_at_all(
    command: Command, journal: Path, database: Database, tmp_path: Path, wire: Wire
) -> None:
    """Its hash goes to the server, and a copy lies beside each station that asked for it."""
    window = StationPins(joined(command, journal, database, tmp_path, database.through(wire)))
    other = tmp_path / "other" / "bay.station"
    assert command("join", database.address, "--station", "x", "--journal", other).status == 0
    bench = StationPins(other)

    bench.put("key-op", "582074")

    assert window.check("key-op", "582074") is PinCheck.RIGHT
    assert window.check("key-op", "582075") is PinCheck.WRONG
    wire.cut()
    assert window.check("key-op", "582074") is PinCheck.RIGHT
    with pytest.raises(PinFileError, match="no PIN was changed"):
        window.put("key-op", "111222")
    wire.mend()
    with psycopg.connect(database.administrator) as owner:
        owner.execute(b"INSERT INTO readbell.schema_version (version) VALUES (99)")
    # A station that is not let in any more is alone, and somebody has to read its strips.
    assert StationPins(other).check("key-op", "582075") is PinCheck.WRONG
    with psycopg.connect(database.administrator) as owner:
        owner.execute(b"DELETE FROM readbell.schema_version WHERE version = 99")
    bench.drop("key-op")
    assert window.check("key-op", "582074") is not PinCheck.RIGHT
