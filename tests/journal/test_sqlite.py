"""The SQLite journal does all that a journal must, and refuses every file that is not one."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from typing import TYPE_CHECKING

import apsw
import pytest

from builders import START
from journal.contract import JournalContract
from journal.samples import arrivals, chain, day
from readbell.core.people.events import PersonRegistered
from readbell.core.private import Private
from readbell.journal import sqlite as settings_of_sqlite
from readbell.journal.errors import JournalError, NewerJournalError, NotWrittenError
from readbell.journal.record import Head
from readbell.journal.sqlite import APPLICATION, SqliteJournal, describe_engine
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


class TestJournalInMemory(JournalContract):
    """A rehearsal keeps its journal here; it must not behave in another way."""

    @pytest.fixture
    def journal(self) -> Iterator[SqliteJournal]:
        """Give an empty journal that is on no disk."""
        with closing(SqliteJournal.open(None)) as opened:
            yield opened


class TestJournalInFile(JournalContract):
    """The journal of a live bay."""

    @pytest.fixture
    def journal(self, tmp_path: Path) -> Iterator[SqliteJournal]:
        """Give an empty journal in a file."""
        with closing(SqliteJournal.open(tmp_path / "bay.journal")) as opened:
            yield opened


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Give the name of a journal that is not there yet."""
    return tmp_path / "bay.journal"


@pytest.fixture
def written(path: Path) -> Path:
    """Give a journal that holds a day and is in nobody's hands."""
    with closing(SqliteJournal.open(path)) as opened:
        opened.append(day(), Head())
    return path


def test_a_day_is_there_when_the_file_is_opened_again(written: Path) -> None:
    """This is what a journal is for."""
    with closing(SqliteJournal.open(written)) as again:
        assert verify(again).head == day()[-1].head


@pytest.mark.parametrize(
    ("setting", "answer"),
    [
        # What the answers mean: the PRAGMA page of the SQLite documentation.
        pytest.param("journal_mode", "wal", id="write-ahead log"),
        pytest.param("synchronous", 2, id="full synchronisation"),
        pytest.param("foreign_keys", 1, id="references are held"),
        pytest.param("trusted_schema", 0, id="the schema is not trusted"),
        pytest.param("secure_delete", 1, id="what is erased is overwritten"),
        pytest.param("mmap_size", 0, id="no memory map"),
        pytest.param("application_id", APPLICATION, id="marked as ours"),
        pytest.param("user_version", 1, id="version of the tables"),
    ],
)
def test_the_settings_that_keep_data_safe_have_taken(
    path: Path, setting: str, answer: object
) -> None:
    """SQLite ignores a setting it cannot keep, and says nothing."""
    with closing(SqliteJournal.open(path)) as opened:
        assert opened._connection.pragma(setting) == answer


def test_the_settings_hold_when_an_old_journal_is_opened(written: Path) -> None:
    """Most of them live in the connection and are gone when it is closed."""
    with closing(SqliteJournal.open(written)) as again:
        assert again._connection.pragma("synchronous") == 2
        assert again._connection.pragma("secure_delete") == 1


@pytest.mark.parametrize(
    "statement",
    [
        pytest.param("UPDATE event SET body = '{}' WHERE seq = 1", id="body changed"),
        pytest.param("UPDATE event SET hash = x'00' WHERE seq = 1", id="hash changed"),
        pytest.param("UPDATE event SET seq = 99 WHERE seq = 1", id="number changed"),
        pytest.param("DELETE FROM event WHERE seq = 1", id="deleted"),
        pytest.param("DELETE FROM event", id="all deleted"),
        pytest.param(
            "INSERT OR REPLACE INTO event (seq, body, hash) VALUES (1, '{}', x'00')",
            id="replaced",
        ),
        pytest.param(
            "INSERT INTO event (seq, body, hash) VALUES (1, '{}', x'00') "
            "ON CONFLICT DO UPDATE SET body = '{}'",
            id="put over",
        ),
    ],
)
def test_an_event_cannot_be_changed_through_the_database(written: Path, statement: str) -> None:
    """Whoever opens the file with another tool must not spoil it by a slip."""
    with closing(SqliteJournal.open(written)) as opened:
        with pytest.raises(apsw.ConstraintError):
            opened._connection.execute(statement)

        assert verify(opened).head == day()[-1].head


@pytest.mark.parametrize(
    "statement",
    [
        pytest.param("UPDATE private SET value = 'P-9' WHERE key = 'key-P-001'", id="value"),
        pytest.param("UPDATE private SET key = 'key-P-9' WHERE key = 'key-P-001'", id="key"),
        pytest.param(
            "UPDATE private SET key = 'key-P-9', value = NULL WHERE key = 'key-P-001'",
            id="key of an erased one",
        ),
        pytest.param(
            "INSERT OR REPLACE INTO private (key, salt, value) "
            "VALUES ('key-P-001', 'salt-P-001', 'P-9')",
            id="replaced",
        ),
    ],
)
def test_an_identifier_can_be_erased_and_nothing_else(written: Path, statement: str) -> None:
    """A name put in the place of another would move a result to another person."""
    with closing(SqliteJournal.open(written)) as opened:
        with pytest.raises(apsw.ConstraintError):
            opened._connection.execute(statement)

        assert verify(opened).board.name("key-P-001") == "P-001"


def test_an_identifier_can_be_erased(written: Path) -> None:
    """The guard must leave the one way that the law asks for."""
    with closing(SqliteJournal.open(written)) as opened:
        opened._connection.execute("UPDATE private SET value = NULL WHERE key = 'key-P-001'")

        assert verify(opened).board.name("key-P-001") is None


def test_an_erased_identifier_cannot_be_brought_back(written: Path) -> None:
    """Forgotten is forgotten, whatever somebody may still have on paper."""
    with closing(SqliteJournal.open(written)) as opened:
        opened._connection.execute("UPDATE private SET value = NULL WHERE key = 'key-P-001'")

        with pytest.raises(apsw.ConstraintError, match="only ever erased"):
            opened._connection.execute("UPDATE private SET value = 'P-001'")


def test_an_erased_identifier_is_gone_from_the_file(written: Path) -> None:
    """SQLite leaves deleted text in free pages unless told to overwrite it."""
    name = "Somebody-Who-Asked-To-Be-Forgotten"
    person = Private(key="key-1", salt="salt-1", value=name)
    with closing(SqliteJournal.open(written)) as opened:
        end = opened.head()
        arrived = PersonRegistered(at=START, by=None, person=person)
        opened.append(chain([arrived], after=end), end)
        opened._connection.execute("UPDATE private SET value = NULL WHERE key = 'key-1'")

    assert name.encode() not in written.read_bytes()


def foreign_database(path: Path, *, table: bool, application: int) -> None:
    """Make a database of another program."""
    with closing(sqlite3.connect(path)) as other:
        if table:
            other.execute("CREATE TABLE invoice (number INTEGER)")
        other.execute(f"PRAGMA application_id = {application}")
        other.commit()


@pytest.mark.parametrize("read_only", [True, False], ids=["to read", "to write"])
@pytest.mark.parametrize(
    ("table", "application"),
    [
        pytest.param(True, 0, id="tables and no mark"),
        pytest.param(True, 0x1234, id="tables and another mark"),
        pytest.param(False, 0x1234, id="another mark and no tables yet"),
    ],
)
def test_a_database_of_another_program_is_refused_and_left_as_it_is(
    path: Path, table: bool, application: int, read_only: bool
) -> None:
    """A slip in a file name must not cost somebody else a file."""
    foreign_database(path, table=table, application=application)
    before = path.read_bytes()

    with pytest.raises(JournalError, match="not a readbell journal: check the name"):
        SqliteJournal.open(path, read_only=read_only)

    assert path.read_bytes() == before


@pytest.mark.parametrize("read_only", [True, False], ids=["to read", "to write"])
def test_a_file_that_is_no_database_is_refused_and_left_as_it_is(
    path: Path, read_only: bool
) -> None:
    """It may be the report somebody has just written."""
    path.write_text("Dear all,\n" * 500, encoding="utf-8")
    before = path.read_bytes()

    with pytest.raises(JournalError, match="it is not a database, or it has a key"):
        SqliteJournal.open(path, read_only=read_only)

    assert path.read_bytes() == before


def test_an_empty_file_becomes_a_journal(path: Path) -> None:
    """A crash between making the file and its tables must not need a repair by hand."""
    path.touch()

    with closing(SqliteJournal.open(path)) as opened:
        assert opened.head() == Head()
        assert opened._connection.pragma("application_id") == APPLICATION


def test_an_empty_file_is_no_journal_to_read(path: Path) -> None:
    """Reading must not make anything, least of all a record that looks whole."""
    path.touch()

    with pytest.raises(JournalError, match="not a readbell journal"):
        SqliteJournal.open(path, read_only=True)

    assert path.read_bytes() == b""


@pytest.mark.parametrize("read_only", [True, False], ids=["to read", "to write"])
def test_a_journal_with_newer_tables_is_refused_in_one_sentence(
    written: Path, read_only: bool
) -> None:
    """An old program would write into tables whose rules it does not know."""
    with closing(apsw.Connection(str(written))) as other:
        other.pragma("user_version", settings_of_sqlite.SCHEMA_VERSION + 1)

    with pytest.raises(NewerJournalError, match=r"a newer readbell made this journal: use that"):
        SqliteJournal.open(written, read_only=read_only)


def test_a_journal_opened_to_read_cannot_be_written(written: Path) -> None:
    """Whoever only looks must not be able to change what others rely on."""
    with closing(SqliteJournal.open(written, read_only=True)) as looked_at:
        end = looked_at.head()

        with pytest.raises(NotWrittenError, match="it may not be written"):
            looked_at.append(arrivals("P-9", after=end), end)

        assert verify(looked_at).head == end


def test_a_journal_that_is_not_there_is_not_made_by_reading(path: Path) -> None:
    """A mistyped name must be told, not answered with an empty record."""
    with pytest.raises(JournalError, match="check the name"):
        SqliteJournal.open(path, read_only=True)

    assert not path.exists()


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    """The text must name the file and say what to look at."""
    with pytest.raises(JournalError, match=r"bay\.journal: .*: check the name, the rights"):
        SqliteJournal.open(tmp_path / "nowhere" / "bay.journal")


def test_the_engine_is_free_of_the_fault_of_the_write_ahead_log() -> None:
    """SQLite 3.7.0 to 3.51.2 may lose commits (release notes of 3.51.3)."""
    assert "renew it" not in describe_engine()
    assert tuple(int(part) for part in apsw.sqlite_lib_version().split(".")) >= (3, 51, 3)
