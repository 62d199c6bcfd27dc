"""Several continuation files, several places, several journals: each event finds its own way home."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from journal.failing import Disk
from journal.samples import ONE_PAGE, arrivals
from readbell.journal.continuation import Continuation, lying_beside
from readbell.journal.copies import copy_journal
from readbell.journal.errors import JournalError
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from pathlib import Path


async def test_a_branch_is_not_gone_on_with_because_the_disk_is_full(disk: Disk) -> None:
    """A story the journal left behind must not become the story by accident of a full disk."""
    file = Continuation.begin(disk.path, disk.places, Head(), "t")
    file.append(arrivals("P-8"))
    await disk.arrive("P-1")
    end = disk.keeper.head

    (branch,) = await disk.restart(full=True)

    assert branch.path == file.path.resolve()
    assert disk.keeper.head == end


async def test_two_files_are_gone_on_with_and_come_home_in_their_order(disk: Disk) -> None:
    """A place that fails hands over to the next, and a start finds both."""
    await disk.arrive("P-1")
    disk.fill_up()
    await disk.arrive("P-2")
    (first,) = disk.files()
    first.rename(first.with_name("away"))
    await disk.arrive("P-3")
    first.with_name("away").rename(first)
    end = disk.keeper.head

    assert await disk.restart(full=True) == []

    assert disk.keeper.head == end
    disk.make_room()
    await disk.keeper.check()
    assert disk.at_home() == ["P-1", "P-2", "P-3"]
    assert disk.files() == []


async def test_what_was_spilled_can_be_read_as_one_with_the_journal(disk: Disk) -> None:
    """A board rebuilt while the disk is full must show the cartridges begun since."""
    await disk.arrive("P-1")
    disk.fill_up()
    await disk.arrive("P-2")
    await disk.restart(full=True)

    seen = await disk.keeper.read(lambda source: [each.seq for each in source.records()])
    key = f"key-P-2{'.' * ONE_PAGE}"
    row = await disk.keeper.read(lambda source: source.private(key))

    assert seen == [1, 2]
    assert row is not None


async def test_a_file_of_another_journal_of_the_same_name_is_left_alone(
    disk: Disk, tmp_path: Path
) -> None:
    """Two sites may call their journals alike and share a folder to spill into."""
    other = tmp_path / "elsewhere" / disk.path.name
    other.parent.mkdir()
    file = Continuation.begin(other, (), Head(), "t")
    file.append(arrivals("P-9"))
    moved = tmp_path / "spare" / file.path.name
    moved.parent.mkdir()
    file.path.rename(moved)
    await disk.arrive("P-1")

    assert await disk.restart() == []

    assert disk.at_home() == ["P-1"]
    assert moved.exists()


async def test_a_file_comes_home_though_the_journal_moved_house(disk: Disk, tmp_path: Path) -> None:
    """A whole folder may be carried to another computer; the chain knows where it belongs."""
    await disk.arrive("P-1")
    disk.fill_up()
    await disk.arrive("P-2")
    await disk.stop()
    disk.path.parent.rename(tmp_path / "new")
    moved = Disk(tmp_path / "new", tmp_path / "spare")

    assert await moved.start() == []

    assert moved.at_home() == ["P-1", "P-2"]
    await moved.stop()
    disk.path.parent.mkdir()
    await disk.start()


async def test_what_lies_beside_a_journal_is_named_and_never_left_out_of_a_copy(
    disk: Disk, tmp_path: Path
) -> None:
    """A backup without the last hour would pass for the whole day."""
    await disk.arrive("P-1")
    disk.fill_up()
    await disk.arrive("P-2")
    (file,) = disk.files()

    with closing(SqliteJournal.open(disk.path, read_only=True)) as journal:
        assert lying_beside(journal, disk.path, disk.places) == [file]
    with pytest.raises(JournalError, match="lie beside it"):
        copy_journal(disk.path, tmp_path / "copy", disk.places)
    assert not (tmp_path / "copy").exists()


async def test_a_file_that_is_all_at_home_does_not_count_as_lying_beside(disk: Disk) -> None:
    """A crash may leave the file behind though its events were joined."""
    file = Continuation.begin(disk.path, disk.places, Head(), "t")
    file.append(arrivals("P-1"))
    disk.journal.append(arrivals("P-1"), Head())

    assert lying_beside(disk.journal, disk.path, disk.places) == []


async def test_a_file_that_cannot_be_read_counts_as_lying_beside(disk: Disk) -> None:
    """It may be the only copy of something."""
    file = disk.path.with_name(f"{disk.path.name}.continuation-x")
    file.write_text("no continuation\n")

    assert lying_beside(disk.journal, disk.path, disk.places) == [file]
