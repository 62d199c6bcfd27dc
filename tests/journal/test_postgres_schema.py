"""The tables are made once, by whoever may, and all of it or nothing."""

from __future__ import annotations

import subprocess
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any

import psycopg
import pytest

import readbell.journal
from journal.samples import arrivals, day
from readbell.journal.errors import JournalError, NewerJournalError
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address
from readbell.journal.postgres_programs import server_programs
from readbell.journal.postgres_schema import look_at_server, prepare, statements, version_of
from readbell.journal.record import Head
from readbell.journal.verify import verify
from server import APP

if TYPE_CHECKING:
    from collections.abc import Iterator

    from server import Database, Server


@pytest.fixture
def empty(server: Server) -> Iterator[psycopg.Connection[Any]]:
    """Give an administrator's connection to a database with nothing in it."""
    name = server.new_database("template0")
    with psycopg.connect(server.administrator(name), autocommit=True) as connection:
        yield connection
    server.drop_database(name)


def test_preparing_again_changes_nothing_of_what_is_recorded(database: Database) -> None:
    """An administrator runs it for a second role, or because nobody remembers."""
    address = read_address(database.address)
    with closing(PostgresJournal.open(address, "Harrow Quay", found=True)) as journal:
        journal.append(day(), Head())
        with psycopg.connect(database.administrator, autocommit=True) as owner:
            assert not prepare(owner, APP)

        assert verify(journal).head == day()[-1].head


def test_a_second_role_is_let_in_beside_the_first(database: Database) -> None:
    """Each site of a group may have its own."""
    with psycopg.connect(database.administrator, autocommit=True) as owner:
        prepare(owner, "bay_other")
        owner.execute(b"ALTER ROLE bay_other PASSWORD 'x'")
        try:
            address = read_address(
                database.server.address(database.name, user="bay_other", password="x")  # noqa: S106
            )
            with closing(PostgresJournal.open(address, "Harrow Quay", found=True)) as journal:
                assert journal.head() == Head()
        finally:
            owner.execute(b"DROP OWNED BY bay_other")
            owner.execute(b"DROP ROLE bay_other")


def test_what_was_granted_too_much_is_taken_back_by_preparing(database: Database) -> None:
    """The sentence that refuses such a role sends the administrator here."""
    with psycopg.connect(database.administrator, autocommit=True) as owner:
        owner.execute(f"GRANT ALL ON readbell.event TO {APP}".encode())
        prepare(owner, APP)

    address = read_address(database.address)
    with closing(PostgresJournal.open(address, "Harrow Quay", found=True)) as journal:
        assert journal.head() == Head()


def test_a_preparation_that_fails_leaves_nothing(empty: psycopg.Connection[Any]) -> None:
    """Half a set of guards would look like one."""
    empty.execute(b"CREATE SCHEMA readbell")

    with pytest.raises(psycopg.Error):
        prepare(empty, APP)

    assert version_of(empty) is None


def test_tables_of_a_newer_program_are_left_alone(database: Database) -> None:
    """What it knows that we do not would be lost."""
    with psycopg.connect(database.administrator, autocommit=True) as owner:
        owner.execute(b"UPDATE readbell.schema_version SET version = 2")
        with pytest.raises(NewerJournalError):
            prepare(owner, APP)


@pytest.mark.parametrize("role", ["", "Bay", "bay app", 'bay"; DROP ROLE x; --', "1bay", "b" * 64])
def test_a_name_that_would_need_quotes_is_no_name_for_the_role(role: str) -> None:
    """It is written into statements that an administrator runs."""
    with pytest.raises(JournalError, match=r"^--app-role: .*: choose another$"):
        list(statements(role))


def test_a_database_that_does_not_hold_every_letter_is_refused(server: Server) -> None:
    """A patient's name would be refused in the middle of a day."""
    with psycopg.connect(server.administrator("postgres"), autocommit=True) as owner:
        owner.execute(
            b"CREATE DATABASE latin ENCODING 'LATIN1' LC_COLLATE 'C' LC_CTYPE 'C' TEMPLATE template0"
        )
        try:
            with (
                psycopg.connect(server.administrator("latin")) as connection,
                pytest.raises(JournalError, match=r"is in LATIN1: make one with ENCODING 'UTF8'$"),
            ):
                look_at_server(connection)
        finally:
            owner.execute(b"DROP DATABASE latin")


def test_the_statements_are_all_there_and_nothing_else_lies_beside_them() -> None:
    """One that is left out of the list would be a guard that nobody sets up."""
    folder = Path(readbell.journal.__file__).parent / "sql"
    lying = {path.read_text(encoding="utf-8").replace(":role", APP) for path in folder.iterdir()}

    assert set(statements(APP)) == lying


def test_the_programs_of_a_server_are_found_where_debian_puts_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The newest version, and only a whole one."""
    monkeypatch.setattr("readbell.journal.postgres_programs.DEBIAN", tmp_path)
    monkeypatch.setenv("PATH", str(tmp_path / "none"))
    assert server_programs() is None
    for version, names in (("9", ("initdb", "pg_ctl", "postgres")), ("15", ("pg_ctl",))):
        (tmp_path / version / "bin").mkdir(parents=True)
        for name in names:
            (tmp_path / version / "bin" / name).touch()
    assert server_programs() == tmp_path / "9" / "bin"
    for name in ("initdb", "postgres"):
        (tmp_path / "15" / "bin" / name).touch()
    assert server_programs() == tmp_path / "15" / "bin"


def test_a_dump_that_is_brought_back_is_the_same_record_with_all_its_guards(
    database: Database, server: Server, tmp_path: Path
) -> None:
    """It is how a site backs its server up, and the day it is needed is a bad one for surprises."""
    programs = server_programs()
    assert programs is not None
    with closing(
        PostgresJournal.open(read_address(database.address), "Harrow Quay", found=True)
    ) as journal:
        end = journal.append(day(), Head())
    dump, name = tmp_path / "dump.sql", server.new_database("template0")
    try:
        for program, arguments in (
            ("pg_dump", (f"--file={dump}", database.administrator)),
            ("psql", ("-qX", "-v", "ON_ERROR_STOP=1", "-f", str(dump), server.administrator(name))),
        ):
            subprocess.run([programs / program, *arguments], check=True, capture_output=True)

        address = read_address(server.address(name))
        with closing(PostgresJournal.open(address, "Harrow Quay")) as back:
            assert verify(back).head == end
            more = arrivals("P-9", after=end)
            assert back.append(more, end) == more[-1].head
        with psycopg.connect(server.administrator(name)) as owner:
            with pytest.raises(psycopg.Error) as refused:
                owner.execute(b"DELETE FROM readbell.event")
            assert refused.value.sqlstate == "RB003"
    finally:
        server.drop_database(name)
