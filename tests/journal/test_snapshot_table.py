"""Where a snapshot stands: beside the record, gone with the first identifier that is erased."""

from __future__ import annotations

from typing import TYPE_CHECKING

import apsw
import pytest

from journal.samples import arrivals
from readbell.journal.record import Head
from readbell.journal.snapshot_table import UNKNOWN
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

NOBODY = frozenset[int]()
ERASE = "UPDATE private SET value = NULL WHERE key = 'key-P-1'"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the journal of a test stands."""
    return tmp_path / "bay.journal"


@pytest.fixture
def journal(path: Path) -> Iterator[SqliteJournal]:
    """A journal with two arrivals in it."""
    found = SqliteJournal.open(path)
    found.append(arrivals("P-1", "P-2"), Head())
    yield found
    found.close()


def test_its_parts_come_back_as_they_were_put(journal: SqliteJournal) -> None:
    """The next start reads them."""
    assert journal.snapshot() == {}

    assert journal.keep_snapshot({0: b"top", 1: b"layer"}, NOBODY, journal.erasures())

    assert journal.snapshot() == {0: b"top", 1: b"layer"}


def test_what_stays_stays_and_the_rest_goes(journal: SqliteJournal) -> None:
    """The file does not grow by a layer a day for ever."""
    journal.keep_snapshot({0: b"top", 1: b"one", 2: b"two"}, NOBODY, 0)

    journal.keep_snapshot({0: b"new", 3: b"three"}, frozenset({1}), 0)

    assert journal.snapshot() == {0: b"new", 1: b"one", 3: b"three"}


def test_all_of_it_goes_with_the_first_identifier_that_is_erased(
    journal: SqliteJournal, path: Path
) -> None:
    """Whoever asked to be forgotten must not live on in what was made to start sooner."""
    journal.keep_snapshot({0: b"top of P-1"}, NOBODY, 0)

    with apsw.Connection(str(path)) as other:
        other.execute(ERASE)

    assert journal.snapshot() == {}
    journal.close()
    assert b"top of P-1" not in path.read_bytes()


def test_nothing_of_before_an_erasure_is_put_there_again(
    journal: SqliteJournal, path: Path
) -> None:
    """A running bay still has the name in its memory, and takes a snapshot at its end."""
    before = journal.erasures()
    with apsw.Connection(str(path)) as other:
        other.execute(ERASE)

    assert not journal.keep_snapshot({0: b"top of P-1"}, NOBODY, before)
    assert journal.snapshot() == {}
    assert journal.erasures() == before + 1


def test_an_older_journal_gets_a_place_for_it(journal: SqliteJournal, path: Path) -> None:
    """It opens as it did, and from then on starts are short."""
    journal.close()
    _forget_the_place(path)

    again = SqliteJournal.open(path)

    assert again.keep_snapshot({0: b"top"}, NOBODY, again.erasures())
    assert verify(again).head.seq == 2
    again.close()


def test_an_older_journal_that_is_only_read_is_left_as_it_is(
    journal: SqliteJournal, path: Path
) -> None:
    """Whoever only looks on changes nothing."""
    journal.close()
    _forget_the_place(path)

    again = SqliteJournal.open(path, read_only=True)

    assert (again.snapshot(), again.erasures()) == ({}, UNKNOWN)
    assert not again.keep_snapshot({0: b"top"}, NOBODY, again.erasures())
    again.close()


def test_a_file_that_was_moved_gets_none(journal: SqliteJournal, path: Path) -> None:
    """It would be written into a file that nobody opens again; the record has all of it."""
    path.rename(path.with_name("elsewhere"))

    assert not journal.keep_snapshot({0: b"top"}, NOBODY, 0)


def test_a_full_disk_keeps_the_record_and_no_snapshot(journal: SqliteJournal) -> None:
    """What can be made anew is not worth a word to anybody."""
    journal._connection.pragma("max_page_count", 1)

    assert not journal.keep_snapshot({0: bytes(100_000)}, NOBODY, 0)
    assert journal.snapshot() == {}
    assert verify(journal).head.seq == 2


def _forget_the_place(path: Path) -> None:
    with apsw.Connection(str(path)) as found:
        found.execute("DROP TRIGGER snapshot_forgets; DROP TABLE snapshot; DROP TABLE erasures")
