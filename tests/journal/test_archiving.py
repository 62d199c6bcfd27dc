"""A closed period in a file of its own: whole, proven, closed for ever, or absent."""

from __future__ import annotations

import hashlib
import stat
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from journal.samples import arrivals, day
from journal.test_erasing import NAMES, append, erasing, people
from readbell.journal.archiving import PART, write_archive
from readbell.journal.errors import JournalError, NotWrittenError
from readbell.journal.locked import KEYRING, is_locked
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def source(tmp_path: Path) -> Path:
    """Return a journal of one day."""
    found = tmp_path / "bay.journal"
    with closing(SqliteJournal.open(found)) as journal:
        journal.append(day(), Head())
    return found


def test_it_holds_the_first_events_and_proves_itself(source: Path, tmp_path: Path) -> None:
    """Its end is an event of the journal it was taken from."""
    target = tmp_path / "first.archive"
    told: list[int] = []

    made = write_archive(source, target, 9, told.append)

    with (
        closing(SqliteJournal.open(target, read_only=True)) as archive,
        closing(SqliteJournal.open(source, read_only=True)) as journal,
    ):
        found = verify(archive)
        assert found.head == made.head
        assert found.head.hex in verify(journal).heads_seen
        assert [each.body for each in archive.records()] == [
            each.body for each in list(journal.records())[:9]
        ]
        assert found.erased == 0
    assert hashlib.sha256(target.read_bytes()).hexdigest() == made.digest
    assert stat.S_IMODE(target.stat().st_mode) == 0o600
    assert told == [9]
    assert [each.name for each in tmp_path.iterdir() if each.name.startswith("first")] == [
        target.name
    ]


def test_it_takes_no_more_events(source: Path, tmp_path: Path) -> None:
    """A bay that went on in it would make two records of one."""
    target = tmp_path / "first.archive"
    write_archive(source, target, 9)

    with pytest.raises(JournalError, match="this is an archive and takes no more events"):
        SqliteJournal.open(target)
    with closing(SqliteJournal.open(target, read_only=True)) as archive:
        assert archive.is_archive
        end = archive.head()
        with pytest.raises(NotWrittenError):
            archive.append(arrivals("P-9", after=end), end)
    with closing(SqliteJournal.open(source, read_only=True)) as journal:
        assert not journal.is_archive


def test_what_was_erased_before_is_erased_in_it(tmp_path: Path) -> None:
    """The act that erased it goes along, and explains the gap."""
    source, target = tmp_path / "bay.journal", tmp_path / "first.archive"
    with closing(SqliteJournal.open(source)) as journal:
        journal.append(people(*NAMES), Head())
        append(journal, erasing(NAMES[0]))

    write_archive(source, target, 3)

    with closing(SqliteJournal.open(target, read_only=True)) as archive:
        found = verify(archive)
    assert (found.erased, found.unexplained) == (1, 0)


def test_nothing_that_stands_is_written_over(source: Path, tmp_path: Path) -> None:
    """The older archive may be the only one."""
    target = tmp_path / "first.archive"
    target.write_text("precious", encoding="utf-8")
    with pytest.raises(JournalError, match="something stands there already"):
        write_archive(source, target, 9)
    assert target.read_text(encoding="utf-8") == "precious"


def test_what_a_broken_off_one_left_is_taken_away(source: Path, tmp_path: Path) -> None:
    """It has names in it, and nobody would look for it."""
    target = tmp_path / "first.archive"
    left = tmp_path / f"{target.name}{PART}0123"
    left.write_text("half of it", encoding="utf-8")
    write_archive(source, target, 9)
    assert not left.exists()


def test_a_folder_that_is_not_there_is_said(source: Path, tmp_path: Path) -> None:
    """And nothing is left anywhere."""
    with pytest.raises(JournalError):
        write_archive(source, tmp_path / "none" / "first.archive", 9)


def test_more_events_than_there_are_give_no_archive(source: Path, tmp_path: Path) -> None:
    """What is not whole must not stand as one."""
    target = tmp_path / "first.archive"
    with pytest.raises(JournalError):
        write_archive(source, target, 10_000)
    assert [each.name for each in tmp_path.iterdir() if each.name.startswith("first")] == []


def test_of_a_locked_journal_it_is_under_the_same_passphrase(tmp_path: Path) -> None:
    """It has the same names in it."""
    source, target = tmp_path / "bay.journal", tmp_path / "first.archive"
    KEYRING.keep(source, "a passphrase for tests")
    try:
        with closing(SqliteJournal.open(source)) as journal:
            journal.append(people(*NAMES), Head())
        write_archive(source, target, 2)
        assert is_locked(target)
        assert NAMES[0].encode() not in target.read_bytes()
        with closing(SqliteJournal.open(target, read_only=True)) as archive:
            assert verify(archive).head.seq == 2
    finally:
        KEYRING.drop(source)
        KEYRING.drop(target)
