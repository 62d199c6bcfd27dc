"""`journal`: a server is prepared, a record goes there and back, and a trial needs one command."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from contextlib import closing
from typing import TYPE_CHECKING

import psycopg
import pytest

from patience import PATIENCE_SECONDS
from readbell.cli.journal_prepare import of_stations
from readbell.journal.errors import JournalError
from readbell.journal.lock import JournalLock
from readbell.journal.pin_file import PinFile, pins_beside
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address
from readbell.journal.postgres_schema import DEFAULT_ROLE
from readbell.journal.record import Head
from readbell.settings.station_file import StationFile, write_station_file
from server import PASSWORD

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from cli.conftest import Command
    from server import Database, Server


BAY = "?bay=Harrow%20Quay"


@pytest.fixture
def journal(command: Command, scenario: Path, tmp_path: Path) -> Path:
    """The journal of a short rehearsal."""
    path = tmp_path / "kept.journal"
    assert command("rehearse", scenario, "--unattended", "--json", "--journal", path).status == 0
    return path


@pytest.fixture
def empty(server: Server) -> Iterator[str]:
    """The name of a database with nothing in it."""
    name = server.new_database("template0")
    yield name
    with psycopg.connect(server.administrator(name), autocommit=True) as owner:
        known = owner.execute("SELECT 1 FROM pg_roles WHERE rolname = %s", (DEFAULT_ROLE,))
        if known.fetchone():
            owner.execute(f"DROP OWNED BY {DEFAULT_ROLE}".encode())
            owner.execute(f"DROP ROLE {DEFAULT_ROLE}".encode())
    server.drop_database(name)


def head_of(command: Command, path: Path) -> str:
    """The head that verifying prints; the journal must be whole."""
    done = command("verify", "--journal", path, "--json")
    assert done.status == 0
    found: str = json.loads(done.out)["head"]
    return found


def test_a_server_is_prepared_by_one_command(command: Command, server: Server, empty: str) -> None:
    """And it says what comes next, for the administrator and for the stations."""
    done = command("journal", "prepare", server.administrator(empty))
    again = command("journal", "prepare", server.administrator(empty))

    place = (
        server.administrator(empty)
        .partition("?")[0]
        .replace("@/", f"@{server.folder}:{server.port}/")
    )
    joined = f"postgresql://{DEFAULT_ROLE}@SERVER:{server.port}/{empty}"
    assert (done.status, done.err) == (0, "")
    assert done.out.splitlines() == [
        f"{place}: is prepared for shared bays; the role {DEFAULT_ROLE} may look and add, and no more",
        f"Where it has no password yet, give it one with psql: \\password {DEFAULT_ROLE}",
        f"Stations join with: readbell join '{joined}' --bay NAME",
    ]
    assert again.out.startswith(f"{place}: was prepared already")


@pytest.mark.parametrize(
    ("given", "printed"),
    [
        ("postgresql:///bays", "postgresql://bay_app@SERVER/bays"),
        ("postgresql://root@localhost/bays", "postgresql://bay_app@SERVER/bays"),
        ("postgresql://root:x@127.0.0.1:5433/bays", "postgresql://bay_app@SERVER:5433/bays"),
        ("postgresql://[::1]:5433/bays", "postgresql://bay_app@SERVER:5433/bays"),
        ("postgresql:///bays?host=/run/pg&port=5433", "postgresql://bay_app@SERVER:5433/bays"),
        ("postgresql://root@db.test:5433/bays", "postgresql://bay_app@db.test:5433/bays"),
        ("postgresql://localhost,db.test/bays", "postgresql://bay_app@SERVER,db.test/bays"),
        ("postgresql://[::1]:5,db.test:6/bays", "postgresql://bay_app@SERVER:5,db.test:6/bays"),
    ],
)
def test_what_stations_are_told_leads_to_the_server_from_elsewhere(
    given: str, printed: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At a station localhost is the station itself, and a socket of the server is nowhere."""
    monkeypatch.delenv("PGHOST", raising=False)

    assert of_stations(read_address(given), "bay_app") == printed


@pytest.mark.parametrize(
    ("typed", "is_given"),
    [
        pytest.param([PASSWORD, PASSWORD], True, id="twice the same"),
        pytest.param([PASSWORD, "a slip"], False, id="a slip"),
        pytest.param([""], False, id="nothing"),
    ],
)
def test_on_a_terminal_the_role_is_given_a_password(
    server: Server, empty: str, typed: list[str], is_given: bool
) -> None:
    """Unseen, and only its hash is sent: it stands in no log of the server either."""
    outer, inner = pty.openpty()
    with subprocess.Popen(
        [sys.executable, "-m", "readbell", "journal", "prepare", server.administrator(empty)],
        stdin=inner,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,  # so that the terminal of whoever runs the tests is not asked
    ) as process:
        assert process.stderr is not None
        for each in typed:
            while process.stderr.read(1) != b":":
                pass
            os.write(outer, each.encode() + b"\n")
        assert process.wait(PATIENCE_SECONDS) == 0
        assert process.stdout is not None
        told = process.stdout.read().decode()
    os.close(inner)
    os.close(outer)

    assert ("Where it has no password yet" in told) != is_given
    assert PASSWORD not in told
    address = server.address(empty, user=DEFAULT_ROLE)
    if is_given:
        with closing(PostgresJournal.open(read_address(address), "Harrow Quay", found=True)) as new:
            assert new.head() == Head()
    else:
        with pytest.raises(JournalError, match="does not take this password"):
            PostgresJournal.open(read_address(address), "Harrow Quay", found=True)


def test_what_it_would_do_is_printed_for_an_administrator(
    command: Command, server: Server, empty: str
) -> None:
    """Who has no readbell, and reads what is run on the server first."""
    printed = command("journal", "prepare", "--sql")
    with psycopg.connect(server.administrator(empty), autocommit=True) as owner:
        owner.execute(printed.out.encode())
        owner.execute(f"ALTER ROLE {DEFAULT_ROLE} PASSWORD '{PASSWORD}'".encode())

    address = read_address(server.address(empty, user=DEFAULT_ROLE))
    with closing(PostgresJournal.open(address, "Harrow Quay", found=True)) as opened:
        assert opened.head() == Head()


def test_an_administrator_who_is_no_superuser_is_told_what_to_ask_for(
    command: Command, server: Server, empty: str
) -> None:
    """On a server that somebody else runs nobody else is one."""
    with psycopg.connect(server.administrator(empty), autocommit=True) as owner:
        owner.execute(f"CREATE ROLE tenant LOGIN CREATEROLE PASSWORD '{PASSWORD}'".encode())
        owner.execute(f"ALTER DATABASE {empty} OWNER TO tenant".encode())
    try:
        done = command("journal", "prepare", server.address(empty, user="tenant"))
        assert done.status == 0
        assert done.err == (
            f"postgresql://tenant@127.0.0.1:{server.port}/{empty}: ask a superuser for: "
            f"ALTER ROLE {DEFAULT_ROLE} SET log_parameter_max_length = 0\n"
        )
        assert f"{DEFAULT_ROLE}@SERVER:{server.port}/{empty}' --bay NAME\n" in done.out
        with psycopg.connect(server.administrator(empty), autocommit=True) as owner:
            owner.execute(f"ALTER ROLE {DEFAULT_ROLE} PASSWORD '{PASSWORD}'".encode())
        address = read_address(server.address(empty, user=DEFAULT_ROLE))
        with closing(PostgresJournal.open(address, "Harrow Quay", found=True)) as opened:
            assert opened.head() == Head()
    finally:
        with psycopg.connect(server.administrator(empty), autocommit=True) as owner:
            owner.execute(b"REASSIGN OWNED BY tenant TO administrator")
            owner.execute(b"DROP OWNED BY tenant")
            owner.execute(b"DROP ROLE tenant")


def test_whoever_may_not_prepare_a_server_is_told_whom_to_ask(
    command: Command, server: Server, empty: str, database: Database
) -> None:
    """The stations' own role is the one at hand."""
    del database  # it brings the role
    done = command("journal", "prepare", server.address(empty))

    assert (done.status, done.out) == (2, "")
    assert done.err.endswith(
        ": this user may not make tables and roles there: connect as one who may, "
        "or hand the administrator what --sql prints\n"
    )


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["prepare"], "say where: readbell journal prepare postgresql://ADMINISTRATOR@"),
        (["prepare", "somewhere"], "this is no address of a server: write it as postgresql://"),
        (["prepare", "--sql", "--app-role", "A B"], "--app-role: a role's name has small letters"),
        (["copy", "a.journal", "b.journal"], "copy goes between a file and a server"),
        (["copy", "no.journal", "postgresql:///bays"], "no.journal: there is no journal"),
        (["copy", "postgresql:///a?bay=x", "postgresql:///b?bay=x"], "copy goes between a file"),
        (
            ["copy", "postgresql://db.test/a?bay=x&sslmode=disable", "b.journal"],
            "sslmode=disable lets others listen in",
        ),
    ],
)
def test_bad_input_is_one_sentence(command: Command, arguments: list[str], words: str) -> None:
    """What, where, and what to do."""
    done = command("journal", *arguments)

    assert (done.status, done.out) == (2, "")
    assert done.err.startswith(words)
    assert done.err.count("\n") == 1


def test_a_record_goes_to_a_server_and_back_verified_by_its_head(
    command: Command, journal: Path, database: Database, tmp_path: Path
) -> None:
    """Head for head, and with the PINs."""
    head = head_of(command, journal)
    PinFile(pins_beside(journal)).put("key-a", "4071")
    there = command("journal", "copy", journal, database.address + BAY)
    back = command("journal", "copy", database.address + BAY, tmp_path / "back.journal")

    assert (there.status, back.status, there.err + back.err) == (0, 0, "")
    place = (
        f"bay Harrow Quay on postgresql://bay_app@127.0.0.1:{database.server.port}/{database.name}"
    )
    first, second = there.out.splitlines()
    assert first.startswith(f"{place}: whole copy of ")
    assert first.endswith(f"events, head {head}, with the hashes of the PINs")
    assert second == f"{journal} is as it was: from now on go on with one of the two alone"
    assert back.out.splitlines()[1].startswith(f"{place} is as it was")
    assert PASSWORD not in there.out + back.out
    assert head_of(command, tmp_path / "back.journal") == head
    assert PinFile(pins_beside(tmp_path / "back.journal")).hashes().keys() == {"key-a"}


def test_a_copy_that_was_refused_for_its_pins_left_no_record_and_is_done_again(
    command: Command, journal: Path, database: Database, tmp_path: Path
) -> None:
    """A record without its PINs would stand in the way of the second try."""
    PinFile(pins_beside(journal)).put("key-a", "4071")
    assert command("journal", "copy", journal, database.address + BAY).status == 0
    target = tmp_path / "back.journal"
    in_the_way = pins_beside(target)
    in_the_way.write_text("of another bay")

    refused = command("journal", "copy", database.address + BAY, target)

    assert (refused.status, refused.out) == (2, "")
    assert refused.err == f"{in_the_way}: something stands there already: move it away first\n"
    assert not target.exists()
    assert in_the_way.read_text() == "of another bay"
    in_the_way.unlink()
    assert command("journal", "copy", database.address + BAY, target).status == 0
    assert PinFile(in_the_way).hashes().keys() == {"key-a"}


def test_the_bay_is_called_as_its_record_says_where_nobody_says_otherwise(
    command: Command, journal: Path, database: Database, tmp_path: Path
) -> None:
    """And where there is one bay alone, it is the one that is meant."""
    there = command("journal", "copy", journal, database.address, "--json")
    back = command("journal", "copy", database.address, tmp_path / "back.journal", "--json")

    head = head_of(command, journal)
    assert json.loads(there.out)["head"] == json.loads(back.out)["head"] == head
    assert json.loads(back.out)["to"] == str(tmp_path / "back.journal")


def test_a_bay_is_copied_by_the_station_file_too(
    command: Command, journal: Path, database: Database, tmp_path: Path
) -> None:
    """It names server and bay, and the person at the station knows no other name."""
    command("journal", "copy", journal, database.address + BAY)
    station = tmp_path / "bay.station"
    file = StationFile(address=database.address, bay="Harrow Quay", station="bench", mark="A")
    write_station_file(station, file)

    back = command("journal", "copy", station, tmp_path / "back.journal")

    assert back.status == 0
    assert head_of(command, tmp_path / "back.journal") == head_of(command, journal)


def test_one_of_several_bays_has_to_be_named(
    command: Command, journal: Path, database: Database, tmp_path: Path
) -> None:
    """None of them is more likely than another."""
    for name in ("One", "Two"):
        assert command("journal", "copy", journal, f"{database.address}?bay={name}").status == 0

    done = command("journal", "copy", database.address, tmp_path / "back.journal")

    assert done.status == 2
    assert done.err.endswith(
        ": there is 'One', 'Two': say which bay, with ?bay=NAME behind the address\n"
    )


def test_a_journal_in_use_is_not_copied(
    command: Command, journal: Path, database: Database
) -> None:
    """It says so, and nothing of it is on the server."""
    lock = JournalLock(journal)
    lock.take()
    done = command("journal", "copy", journal, database.address)
    lock.release()

    assert done.status == 2
    assert "another readbell is writing to this journal" in done.err
