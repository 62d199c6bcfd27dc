"""What can happen to a journal's file under the program's hands, and who may read it."""

from __future__ import annotations

import os
import re
import stat
from contextlib import closing
from typing import TYPE_CHECKING

import apsw
import pytest

from journal.samples import ONE_PAGE, arrivals, day
from readbell.journal import sqlite
from readbell.journal.copies import copy_journal
from readbell.journal.errors import BrokenChainError, JournalError, NotWrittenError
from readbell.journal.lock import SUFFIX, JournalLock
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

OWNER_ONLY = 0o600
OPEN_TO_ALL = 0o022


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Give the name of a journal that is not there yet."""
    return tmp_path / "bay.journal"


@pytest.fixture
def journal(path: Path) -> Iterator[SqliteJournal]:
    """Give an open journal that holds a day."""
    with closing(SqliteJournal.open(path)) as opened:
        opened.append(day(), Head())
        yield opened


@pytest.fixture
def careless_umask() -> Iterator[None]:
    """Let new files be readable by everybody, as most systems do."""
    before = os.umask(OPEN_TO_ALL)
    yield
    os.umask(before)


def mode_of(path: Path) -> int:
    """Return who may do what with the file."""
    return stat.S_IMODE(path.stat().st_mode)


@pytest.mark.skipif(os.name != "posix", reason="other systems have no such modes")
@pytest.mark.usefixtures("careless_umask")
@pytest.mark.parametrize(
    "beside",
    [
        pytest.param("", id="the journal"),
        pytest.param("-wal", id="its log"),
        pytest.param("-shm", id="its shared memory"),
    ],
)
def test_nobody_else_may_read_a_journal(path: Path, beside: str) -> None:
    """It holds names and results, and the log holds the newest of them."""
    with closing(SqliteJournal.open(path)) as opened:
        opened.append(day(), Head())

        assert mode_of(path.with_name(path.name + beside)) == OWNER_ONLY


@pytest.mark.skipif(os.name != "posix", reason="other systems have no such modes")
@pytest.mark.usefixtures("careless_umask")
def test_nobody_else_may_read_a_copy(path: Path, tmp_path: Path) -> None:
    """A backup is as private as what it was made from."""
    with closing(SqliteJournal.open(path)) as opened:
        opened.append(day(), Head())

    copy_journal(path, tmp_path / "copy.journal")

    assert mode_of(tmp_path / "copy.journal") == OWNER_ONLY


@pytest.mark.skipif(os.name != "posix", reason="other systems have no such modes")
@pytest.mark.usefixtures("careless_umask")
def test_nobody_else_may_touch_the_lock(path: Path) -> None:
    """Whoever can open the lock file can hold it, and so keep a bay from starting."""
    lock = JournalLock(path)
    lock.take()

    assert mode_of(path.with_name(path.name + SUFFIX)) == OWNER_ONLY

    lock.release()


def refused(journal: SqliteJournal, padding: int = 0) -> str:
    """Append somebody's arrival, insist that it is refused, and return why."""
    end = journal.head()
    with pytest.raises(NotWrittenError) as caught:
        journal.append(arrivals("P-9", after=end, padding=padding), end)
    assert journal.head() == end
    return str(caught.value)


def test_a_journal_renamed_under_the_program_is_not_written(
    journal: SqliteJournal, path: Path, tmp_path: Path
) -> None:
    """SQLite would go on writing into the renamed file, where nobody looks for it."""
    path.rename(tmp_path / "old.journal")

    assert refused(journal) == "the file was moved or deleted"
    assert journal.ailment() == "the file was moved or deleted"


def test_a_journal_deleted_under_the_program_is_not_written(
    journal: SqliteJournal, path: Path
) -> None:
    """What goes into a deleted file is gone when the program ends."""
    path.unlink()

    assert refused(journal) == "the file was moved or deleted"
    assert journal.ailment() == "the file was moved or deleted"


def test_a_journal_replaced_under_the_program_is_not_written(
    journal: SqliteJournal, path: Path, tmp_path: Path
) -> None:
    """The name is right and the file is another one: a backup put back too early."""
    copy_journal(path, tmp_path / "copy.journal")
    (tmp_path / "copy.journal").replace(path)

    assert refused(journal) == "the journal file was replaced"
    assert journal.ailment() == "the journal file was replaced"


def test_a_journal_put_back_in_its_place_is_written_again(
    journal: SqliteJournal, path: Path, tmp_path: Path
) -> None:
    """Somebody noticed and set it right; nothing more must be needed."""
    path.rename(tmp_path / "old.journal")
    refused(journal)
    (tmp_path / "old.journal").rename(path)

    journal.append(arrivals("P-9", after=journal.head()), journal.head())

    assert journal.ailment() is None
    assert "P-9" in verify(journal).board.persons


def test_a_full_disk_is_told_and_stores_nothing(journal: SqliteJournal) -> None:
    """A page limit makes SQLite answer exactly as a full disk does."""
    journal._connection.pragma("max_page_count", 1)

    assert refused(journal, padding=ONE_PAGE) == "the disk is full"


def test_a_disk_that_has_room_again_is_written_again(journal: SqliteJournal) -> None:
    """The failed act must have left no transaction behind."""
    journal._connection.pragma("max_page_count", 1)
    refused(journal, padding=ONE_PAGE)
    journal._connection.pragma("max_page_count", 1_000_000)

    end = journal.append(arrivals("P-9", after=journal.head()), journal.head())

    assert verify(journal).head == end


def test_a_journal_held_by_another_program_is_told_soon(journal: SqliteJournal, path: Path) -> None:
    """Five seconds of waiting, as is usual, would be five seconds of a silent alarm."""
    with closing(apsw.Connection(str(path))) as other:
        other.execute("BEGIN IMMEDIATE")

        assert refused(journal) == "another program holds it"
        assert sqlite.BUSY_MILLISECONDS <= 500


def test_a_disk_nearly_full_is_told_before_an_append_fails(
    journal: SqliteJournal, monkeypatch: pytest.MonkeyPatch
) -> None:
    """There is time to make room as long as acts are still saved."""
    monkeypatch.setattr(sqlite, "LEAST_ROOM_BYTES", 1 << 62)

    assert journal.ailment() == "the disk is nearly full"


def test_a_sound_file_has_no_damage(journal: SqliteJournal) -> None:
    """The check at each start must not frighten anybody for nothing."""
    assert journal.damage() is None


def test_a_page_overwritten_on_the_disk_is_found_at_the_start(
    journal: SqliteJournal, path: Path
) -> None:
    """A failing disk shows itself first in a page that nobody has read yet."""
    journal.append(arrivals("P-9", after=journal.head(), padding=20 * ONE_PAGE), journal.head())
    journal.close()
    damaged = bytearray(path.read_bytes())
    damaged[4096:12_288] = os.urandom(8192)
    path.write_bytes(damaged)

    with closing(SqliteJournal.open(path)) as again:
        assert again.damage() is not None
        with pytest.raises(JournalError):
            verify(again)


def test_an_end_that_cannot_be_read_is_told(journal: SqliteJournal, path: Path) -> None:
    """Whoever asks where the record ends asks the file first of all."""
    journal.append(arrivals("P-9", after=journal.head(), padding=20 * ONE_PAGE), journal.head())
    journal.close()
    damaged = bytearray(path.read_bytes())
    damaged[4096:12_288] = bytes(8192)
    path.write_bytes(damaged)

    with closing(SqliteJournal.open(path)) as again, pytest.raises(JournalError, match="backup"):
        again.head()


def test_an_index_that_no_longer_leads_to_an_identifier_is_found(
    journal: SqliteJournal, path: Path
) -> None:
    """Whoever is behind it would be taken for one who was erased."""
    ((root,),) = journal._connection.execute(
        "SELECT rootpage FROM sqlite_schema WHERE name = 'sqlite_autoindex_private_1'"
    ).fetchall()
    assert isinstance(root, int)
    journal.close()
    damaged = bytearray(path.read_bytes())
    page = damaged[(root - 1) * 4096 : root * 4096]
    damaged[(root - 1) * 4096 + page.rindex(b"key-P-001")] ^= 1
    path.write_bytes(damaged)

    with closing(SqliteJournal.open(path)) as again:
        assert again.damage() is None
        assert again.damage(thorough=True) is not None
    with pytest.raises(JournalError, match="damaged"):
        copy_journal(path, path.with_name("copy"))


def test_a_body_that_is_gone_is_named(journal: SqliteJournal, path: Path) -> None:
    """A bad sector keeps no rule of any table, and must not end in a crash."""
    journal.close()
    with closing(apsw.Connection(str(path))) as other:
        other.execute("PRAGMA writable_schema = ON")
        other.execute(
            "UPDATE sqlite_schema SET sql = replace(sql, 'body TEXT NOT NULL', 'body TEXT')"
        )
    with closing(apsw.Connection(str(path))) as other:
        other.execute("DROP TRIGGER event_stays")
        other.execute("UPDATE event SET body = NULL WHERE seq = 1")

    with (
        closing(SqliteJournal.open(path)) as again,
        pytest.raises(BrokenChainError, match=r"^event 1: its bytes are gone"),
    ):
        verify(again)


def test_a_hash_that_passes_for_text_is_read_as_the_bytes_it_is(
    journal: SqliteJournal, path: Path
) -> None:
    """Reading it as letters would end in a crash, though nothing of it has changed."""
    first = list(journal.records())[0].body.encode()  # noqa: RUF015  # an open one holds the log
    journal.close()
    content = path.read_bytes()
    for found in re.finditer(re.escape(first), content):
        kind = found.start() - 1  # what the hash is said to be
        content = content[:kind] + b"\x4d" + content[kind + 1 :]
    path.write_bytes(content)

    with closing(SqliteJournal.open(path)) as again:
        assert verify(again).head.seq == len(day())
