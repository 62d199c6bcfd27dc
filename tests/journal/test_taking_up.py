"""A file is looked through before its record is read, or after the board stands; never not at all."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from journal.samples import STAMP, day
from readbell.journal.errors import JournalError
from readbell.journal.record import Head
from readbell.journal.snapshot import taking
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.taking_up import sound_journal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from pathlib import Path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where a journal with a day in it stands."""
    found = tmp_path / "bay.journal"
    journal = SqliteJournal.open(found)
    journal.append(day(), Head())
    journal.close()
    return found


def damage(path: Path) -> None:
    """Write rubbish over the last page of the file."""
    with path.open("r+b") as file:
        file.seek(-3_000, 2)
        file.write(b"\xa5" * 2_000)


def keep_snapshot(path: Path) -> None:
    """Put a good snapshot beside the record at `path`."""
    journal = SqliteJournal.open(path)
    written = list(taking(verify(journal).board, STAMP, journal.head()))[-1]
    assert written is not None
    assert journal.keep_snapshot(written.parts, written.stay, journal.erasures())
    journal.close()


def test_without_a_snapshot_a_sound_file_is_given_as_it_is(path: Path) -> None:
    """Every event of it is read then."""
    journal, snapshot = sound_journal(path)

    assert snapshot is None
    assert journal.head().seq == len(day())
    journal.close()


def test_without_a_snapshot_a_damaged_file_is_refused(path: Path) -> None:
    """Nobody works a day on what cannot be read tomorrow."""
    damage(path)

    with pytest.raises(JournalError, match="restore a backup"):
        sound_journal(path)


def test_a_good_snapshot_is_given_with_its_journal(path: Path) -> None:
    """The start is then as long as what came since."""
    keep_snapshot(path)

    journal, snapshot = sound_journal(path)

    assert snapshot is not None
    assert snapshot.head == journal.head()
    journal.close()
