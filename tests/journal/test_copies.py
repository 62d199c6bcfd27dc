"""A backup is whole, is made while the bay works, and never overwrites anything."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import apsw
import pytest

from journal.contract import plain
from journal.samples import ONE_PAGE, arrivals, day
from readbell.journal.copies import copy_journal
from readbell.journal.errors import BrokenChainError, JournalError
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def source(tmp_path: Path) -> Path:
    """Give the name of the journal in use."""
    return tmp_path / "bay.journal"


@pytest.fixture
def target(tmp_path: Path) -> Path:
    """Give the name of a copy that is not there yet."""
    return tmp_path / "copy.journal"


@pytest.fixture
def journal(source: Path) -> Iterator[SqliteJournal]:
    """Give a journal that holds a day and is in use."""
    with closing(SqliteJournal.open(source)) as opened:
        opened.append(day(), Head())
        yield opened


@pytest.mark.usefixtures("journal")
def test_a_copy_made_while_in_use_equals_its_source(source: Path, target: Path) -> None:
    """Copying the file alone loses what is still in the log; this must not."""
    head = copy_journal(source, target)

    with closing(SqliteJournal.open(target)) as copy:
        assert plain(list(copy.records())) == plain(day())
        assert copy.private("key-P-001") is not None
        assert verify(copy).head == head == day()[-1].head


def test_the_source_goes_on_after_a_copy(
    journal: SqliteJournal, source: Path, target: Path
) -> None:
    """A backup at noon must not disturb the afternoon, nor be touched by it."""
    head = copy_journal(source, target)
    end = journal.append(arrivals("P-9", after=head), head)

    assert verify(journal).head == end
    with closing(SqliteJournal.open(target)) as copy:
        assert verify(copy).head == head


@pytest.mark.usefixtures("journal")
def test_an_act_that_is_not_yet_committed_is_not_in_the_copy(source: Path, target: Path) -> None:
    """A copy shows what was acknowledged, nothing else."""
    with closing(apsw.Connection(str(source))) as other:
        other.execute("BEGIN IMMEDIATE")
        other.execute("INSERT INTO event (seq, body, hash) VALUES (99, '{}', x'00')")

        assert copy_journal(source, target) == day()[-1].head


@pytest.mark.usefixtures("journal")
def test_a_copy_is_one_file(source: Path, target: Path) -> None:
    """It is carried about on a stick, and what lies beside it would be left behind."""
    copy_journal(source, target)

    beside = {each.name for each in target.parent.iterdir() if each.name.startswith(target.name)}
    assert beside == {target.name}
    # Bytes 18 and 19 of a SQLite file: 1 for a rollback journal, 2 for a write-ahead log
    # (SQLite documentation, "Database File Format"). Only the first opens on a read-only disk.
    assert target.read_bytes()[18:20] == b"\x01\x01"


@pytest.mark.usefixtures("journal")
def test_a_copy_of_a_copy_brings_the_journal_back(source: Path, target: Path) -> None:
    """Restoring is the same act in the other direction."""
    copy_journal(source, target)
    back = source.with_name("restored.journal")

    head = copy_journal(target, back)

    with closing(SqliteJournal.open(back)) as restored:
        assert verify(restored).head == head == day()[-1].head
        assert restored.append(arrivals("P-9", after=head), head).seq == head.seq + 1


@pytest.mark.usefixtures("journal")
def test_nothing_that_stands_is_overwritten(source: Path, target: Path) -> None:
    """The file in the way may be the only good backup."""
    target.write_text("yesterday", encoding="utf-8")

    with pytest.raises(JournalError, match="something stands there already: move it away"):
        copy_journal(source, target)

    assert target.read_text(encoding="utf-8") == "yesterday"


def test_a_journal_that_is_not_there_cannot_be_copied(source: Path, target: Path) -> None:
    """A mistyped name must not end in an empty backup."""
    with pytest.raises(JournalError, match="there is no journal: check the name"):
        copy_journal(source, target)

    assert not target.exists()


def test_a_broken_journal_is_not_copied(journal: SqliteJournal, source: Path, target: Path) -> None:
    """A backup of a forged record must not replace the last sound one."""
    journal._connection.execute("DROP TRIGGER event_stays")
    journal._connection.execute("UPDATE event SET body = '{}' WHERE seq = 3")

    with pytest.raises(BrokenChainError, match="event 3"):
        copy_journal(source, target)

    assert not target.exists()


@pytest.mark.usefixtures("journal")
def test_a_copy_that_has_no_folder_is_told(source: Path, target: Path) -> None:
    """The text names the place, because the source is not at fault."""
    nowhere = target.with_name("nowhere") / "copy.journal"

    with pytest.raises(JournalError, match="choose a place with room where you may write"):
        copy_journal(source, nowhere)


def test_a_copy_that_failed_half_way_leaves_nothing_behind(
    journal: SqliteJournal, source: Path, target: Path
) -> None:
    """Half a backup looks like a whole one to whoever finds it, and blocks the next try."""
    end = journal.head()
    journal.append(arrivals("P-9", after=end, padding=20 * ONE_PAGE), end)
    resource = pytest.importorskip("resource")
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)

    resource.setrlimit(resource.RLIMIT_FSIZE, (8 * ONE_PAGE, hard))
    try:
        with pytest.raises(JournalError, match="choose a place with room"):
            copy_journal(source, target)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))

    assert not target.exists()
