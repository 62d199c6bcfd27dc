"""A journal under a passphrase: nothing of it in plain, and nothing lost on the way."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import apsw
import pytest

from readbell.journal import locked
from readbell.journal.continuation import Continuation
from readbell.journal.copies import copy_journal
from readbell.journal.errors import InUseError, JournalError
from readbell.journal.lock import JournalLock
from readbell.journal.locked import (
    KEYRING,
    PLAIN,
    WrongKeyError,
    fault_of,
    is_locked,
)
from readbell.journal.locking import lock_journal, unlock_journal
from readbell.journal.record import Head, PrivateRow, Record, link
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

PASSPHRASE = "four plain words' here"  # noqa: S105  # it opens what a test has made
SURNAME = "Quillfeather"


@pytest.fixture(autouse=True)
def no_keys() -> Iterator[None]:
    """What one test gave opens nothing for the next."""
    yield
    KEYRING._kept.clear()


@pytest.fixture
def journal(tmp_path: Path) -> Path:
    """A journal with somebody's name in it, on its identifying side and in its log."""
    path = tmp_path / "bay.journal"
    kept = SqliteJournal.open(path)
    add(kept, Head())
    kept.close()
    return path


def add(kept: SqliteJournal, end: Head) -> Head:
    """One more event, with an identifier beside it."""
    body = f'{{"of":"{SURNAME}"}}'
    row = PrivateRow(key=f"key-{end.seq}", salt="salt", value=SURNAME)
    record = Record(seq=end.seq + 1, body=body, hash=link(end.hash, body), private=(row,))
    return kept.append([record], end)


def in_plain(folder: Path) -> list[str]:
    """The files in which the name can be read."""
    return [each.name for each in folder.iterdir() if SURNAME.encode() in each.read_bytes()]


@pytest.fixture
def unchecked(monkeypatch: pytest.MonkeyPatch) -> None:
    """These events say nothing that a bay could fold: only their chain is looked at."""
    from readbell.journal.verify import Verdict, chained

    def chain_alone(kept: SqliteJournal, _: object = None) -> Verdict:
        from readbell.core.board.board import Board

        heads = [each.head for each in chained(kept)]
        return Verdict(head=heads[-1] if heads else Head(), board=Board(), heads_seen=frozenset())

    for module in ("copies", "locking"):
        monkeypatch.setattr(f"readbell.journal.{module}.verify", chain_alone)


@pytest.mark.usefixtures("unchecked")
def test_once_it_is_locked_no_file_of_it_holds_a_name_in_plain(journal: Path) -> None:
    """Not the file, not the log that is still being written, and no copy is left behind."""
    assert in_plain(journal.parent) == [journal.name]
    end = lock_journal(journal, PASSPHRASE, ())
    opened = SqliteJournal.open(journal)
    after = add(opened, end)

    assert is_locked(journal)
    assert journal.with_name(f"{journal.name}-wal").stat().st_size > 0
    assert in_plain(journal.parent) == []
    assert [each.seq for each in opened.records()] == [1, 2]
    assert opened.head() == after
    opened.close()
    assert in_plain(journal.parent) == []
    assert sorted(each.name for each in journal.parent.iterdir()) == [
        "bay.journal",
        "bay.journal.lock",
    ]


@pytest.mark.usefixtures("unchecked")
def test_the_store_says_itself_that_its_cipher_is_at_work(journal: Path) -> None:
    """Read by the library alone: without the key it is no database, with it all is there."""
    lock_journal(journal, PASSPHRASE, ())
    assert not journal.read_bytes().startswith(PLAIN)
    bare = apsw.Connection(str(journal))
    with pytest.raises(apsw.NotADBError):
        bare.execute("SELECT * FROM event")
    bare.close()
    keyed = apsw.Connection(str(journal))
    assert keyed.pragma("cipher", "chacha20") == "chacha20"
    assert keyed.pragma("key", PASSPHRASE) == "ok"
    assert keyed.execute("SELECT value FROM private").fetchall() == [(SURNAME,)]
    keyed.close()


@pytest.mark.usefixtures("unchecked")
def test_a_wrong_passphrase_and_none_are_one_sentence_each(journal: Path) -> None:
    """And the wrong one is not kept: the next may be right."""
    lock_journal(journal, PASSPHRASE, ())
    KEYRING.drop(journal)
    with pytest.raises(WrongKeyError, match="give its passphrase"):
        SqliteJournal.open(journal)
    KEYRING.keep(journal, "another one of mine")
    with pytest.raises(WrongKeyError, match="not its passphrase") as caught:
        SqliteJournal.open(journal)
    assert caught.value.exit_status == 2
    assert KEYRING.of(journal) is None
    KEYRING.keep(journal, PASSPHRASE)
    SqliteJournal.open(journal, read_only=True).close()


@pytest.mark.usefixtures("unchecked")
def test_unlocked_again_it_is_the_journal_it_was(journal: Path) -> None:
    """Event by event, and without a key."""
    end = lock_journal(journal, PASSPHRASE, ())
    assert unlock_journal(journal, ()) == end
    assert not is_locked(journal)
    assert KEYRING.of(journal) is None
    opened = SqliteJournal.open(journal)
    assert opened.head() == end
    opened.close()


@pytest.mark.usefixtures("unchecked")
def test_a_copy_of_a_locked_journal_is_locked_with_the_same_passphrase(
    journal: Path, tmp_path: Path
) -> None:
    """A backup in plain would undo it all."""
    end = lock_journal(journal, PASSPHRASE, ())
    backup = tmp_path / "backup.journal"
    assert copy_journal(journal, backup) == end
    assert is_locked(backup)
    assert in_plain(tmp_path) == []


def test_a_new_journal_is_locked_before_anything_stands_in_it(tmp_path: Path) -> None:
    """So no name was ever on the disk in plain."""
    path = tmp_path / "new.journal"
    assert lock_journal(path, PASSPHRASE, ()) == Head()
    assert is_locked(path)
    opened = SqliteJournal.open(path)
    add(opened, Head())
    opened.close()
    assert in_plain(tmp_path) == []


@pytest.mark.usefixtures("unchecked")
def test_what_lay_beside_in_plain_and_is_at_home_goes_when_a_journal_is_locked(
    journal: Path,
) -> None:
    """A crash between joining and deleting leaves such a file: it would name everybody."""
    opened = SqliteJournal.open(journal)
    records = list(opened.records())
    rows = [opened.private("key-0")]
    opened.close()
    beside = Continuation.begin(journal, (), Head(), "left")
    beside.append([replace(records[0], private=tuple(row for row in rows if row))])
    assert len(in_plain(journal.parent)) == 2

    lock_journal(journal, PASSPHRASE, ())
    assert in_plain(journal.parent) == []
    assert not beside.path.exists()


@pytest.mark.usefixtures("unchecked")
def test_what_is_locked_is_not_locked_twice_nor_unlocked_twice(journal: Path) -> None:
    """Nothing is done, and it says so."""
    with pytest.raises(JournalError, match="not locked: nothing was done"):
        unlock_journal(journal, ())
    lock_journal(journal, PASSPHRASE, ())
    with pytest.raises(JournalError, match="locked already: nothing was done"):
        lock_journal(journal, PASSPHRASE, ())


def test_a_journal_in_use_is_left_alone(journal: Path) -> None:
    """Its place must not be taken under a running bay."""
    held = JournalLock(journal)
    held.take()
    try:
        with pytest.raises(InUseError):
            lock_journal(journal, PASSPHRASE, ())
    finally:
        held.release()
    assert not is_locked(journal)


@pytest.mark.usefixtures("unchecked")
def test_a_lock_that_does_not_take_leaves_the_journal_as_it_was(
    journal: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is seen before the copy takes the journal's place."""
    before = journal.read_bytes()
    monkeypatch.setattr(locked, "CIPHER", "no such cipher")
    with pytest.raises((JournalError, apsw.Error)):
        lock_journal(journal, PASSPHRASE, ())
    assert journal.read_bytes() == before
    assert not list(journal.parent.glob("*.copy-*"))


@pytest.mark.parametrize("found", [b"", b"a text that is no database, and long enough to be one"])
def test_what_is_no_database_is_not_called_locked(tmp_path: Path, found: bytes) -> None:
    """Whoever names a wrong file is not asked for a passphrase."""
    path = tmp_path / "file"
    path.write_bytes(found)
    assert not is_locked(path)
    assert not is_locked(tmp_path / "none")


@pytest.mark.parametrize(
    ("passphrase", "fine"),
    [
        ("twelve-signs", True),
        ("eleven-sign", False),
        ("raw:0123456789abcdef", False),
        ("x'0123456789abcdef'", False),
        ("two lines\nof letters", False),
        ("ein Satz mit Umlaut: ä", True),
    ],
)
def test_what_is_taken_for_a_passphrase(passphrase: str, *, fine: bool) -> None:
    """What the store would read as a key itself is not."""
    assert (fault_of(passphrase) is None) is fine


def test_the_keyring_shows_nothing() -> None:
    """It may stand in a crash report."""
    KEYRING._kept.clear()
    assert "kept" not in repr(KEYRING)
