"""A journal or its log that is moved or cut under the program: noticed, and as much saved as can be."""

from __future__ import annotations

import os
from contextlib import closing
from typing import TYPE_CHECKING

import apsw
import pytest

from journal.samples import arrivals, day
from readbell.journal.errors import JournalError, NotWrittenError
from readbell.journal.in_place import log_of
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify
from torture.taped import Kind, taped

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Give the name of a journal that is not there yet."""
    return tmp_path / "bay.journal"


@pytest.fixture
def journal(path: Path) -> Iterator[SqliteJournal]:
    """Give an open journal that holds a day, most of it in its log."""
    with closing(SqliteJournal.open(path)) as opened:
        opened.append(day(), Head())
        yield opened


def refused(journal: SqliteJournal) -> str:
    """Append somebody's arrival, insist that it is refused, and return why."""
    end = Head(seq=len(day()), hash=day()[-1].hash)
    with pytest.raises(NotWrittenError) as caught:
        journal.append(arrivals("P-9", after=end), end)
    return str(caught.value)


def test_a_log_moved_away_is_brought_home_and_written_no_more(
    journal: SqliteJournal, path: Path, tmp_path: Path
) -> None:
    """A killed program would leave all that it acknowledged in a file nobody looks for."""
    log_of(path).rename(tmp_path / "away")

    assert refused(journal) == ("its write-ahead log was moved or deleted: start the program again")
    alone = tmp_path / "alone.journal"
    alone.write_bytes(path.read_bytes())
    with closing(SqliteJournal.open(alone)) as found:
        assert verify(found).head.seq == len(day())


def test_a_log_put_back_is_written_again(
    journal: SqliteJournal, path: Path, tmp_path: Path
) -> None:
    """Somebody noticed and set it right."""
    log_of(path).rename(tmp_path / "away")
    refused(journal)
    (tmp_path / "away").rename(log_of(path))

    end = journal.append(arrivals("P-9", after=journal.head()), journal.head())

    assert verify(journal).head == end


def test_a_log_cut_short_is_never_copied_into_the_journal(
    journal: SqliteJournal, path: Path
) -> None:
    """Copying what is no longer there would leave nothing that can be read at all."""
    os.truncate(log_of(path), 40)

    assert refused(journal) == "its write-ahead log was cut short: start the program again"
    assert journal.ailment() == "its write-ahead log was cut short: start the program again"
    journal.close()
    with closing(SqliteJournal.open(path)) as again:
        verify(again)


def test_a_journal_cut_short_is_not_written(journal: SqliteJournal, path: Path) -> None:
    """What is missing is found now, and not at the next start."""
    os.truncate(path, 4096)

    assert refused(journal) == "the journal file was cut short"


def test_an_emptied_journal_with_a_full_log_is_no_new_journal(
    journal: SqliteJournal, path: Path, tmp_path: Path
) -> None:
    """SQLite would take it for one, and delete the log with the whole day in it."""
    log = log_of(path).read_bytes()
    emptied = tmp_path / "emptied.journal"
    emptied.touch()
    log_of(emptied).write_bytes(log)

    for read_only in (False, True):
        with pytest.raises(JournalError, match="keep both safe"):
            SqliteJournal.open(emptied, read_only=read_only)
    assert log_of(emptied).read_bytes() == log
    assert journal.ailment() is None


def test_what_a_killed_program_left_in_its_log_is_brought_home_at_the_next_start(
    journal: SqliteJournal, path: Path, tmp_path: Path
) -> None:
    """Whoever copies the one file they know of then copies all of it."""
    killed = tmp_path / "killed.journal"
    killed.write_bytes(path.read_bytes())
    log_of(killed).write_bytes(log_of(path).read_bytes())
    with closing(SqliteJournal.open(killed)):
        alone = tmp_path / "alone.journal"
        alone.write_bytes(killed.read_bytes())

    with closing(SqliteJournal.open(alone)) as found:
        assert verify(found).head == journal.head()


def test_a_journal_is_opened_though_its_log_cannot_be_brought_home(
    journal: SqliteJournal, path: Path, tmp_path: Path
) -> None:
    """On a full disk a bay must start all the same: its alarms ring, its acts go beside."""
    killed = tmp_path / "killed.journal"
    killed.write_bytes(path.read_bytes())
    log_of(killed).write_bytes(log_of(path).read_bytes())
    full = apsw.FullError("as the test has it")

    with taped() as tape:
        tape.fails = lambda note: full if note.kind is Kind.WRITE else None
        with closing(SqliteJournal.open(killed)) as found:
            assert verify(found).head == journal.head()
            tape.fails = lambda _: None


def test_a_log_moved_away_while_somebody_reads_is_told_and_brought_home_later(
    journal: SqliteJournal, path: Path, tmp_path: Path
) -> None:
    """A look that fails must not end the program that looks."""
    with closing(apsw.Connection(str(path), flags=apsw.SQLITE_OPEN_READONLY)) as reader:
        reader.execute("BEGIN")
        reader.execute("SELECT count(*) FROM event").fetchall()
        journal.append(arrivals("P-8", after=journal.head()), journal.head())
        log_of(path).rename(tmp_path / "away")
        told = journal.ailment()
    end = journal.head()

    assert told == "its write-ahead log was moved or deleted: start the program again"
    assert journal.ailment() == told
    alone = tmp_path / "alone.journal"
    alone.write_bytes(path.read_bytes())
    with closing(SqliteJournal.open(alone)) as found:
        assert verify(found).head == end
