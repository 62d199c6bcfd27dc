"""Saved before shown as saved, and told at once when it cannot be saved where it belongs."""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

import apsw
import pytest

from journal.samples import ONE_PAGE, arrivals
from readbell.journal import sqlite
from readbell.journal.continuation import read_continuation
from readbell.journal.copies import copy_journal
from readbell.journal.errors import ConflictError, NotWrittenError
from readbell.journal.keeper import Keeper, NotSaved
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from pathlib import Path

    from journal.failing import Disk


def why_not_saved(disk: Disk) -> str | None:
    """Return what the banner says, or None where there is none."""
    not_saved = disk.keeper.not_saved
    return None if not_saved is None else not_saved.why


async def test_an_act_is_in_the_journal_when_append_returns(disk: Disk) -> None:
    """The screen says saved at this moment, and the mains may fail in the next."""
    await disk.arrive("P-1", "P-2")

    assert disk.at_home() == ["P-1", "P-2"]
    assert disk.keeper.head.seq == 2
    assert why_not_saved(disk) is None


async def test_a_journal_is_taken_up_at_its_end(disk: Disk) -> None:
    """The next event must be chained to the last one of yesterday."""
    await disk.arrive("P-1")
    end = disk.keeper.head

    assert await disk.restart() == []

    assert disk.keeper.head == end


async def test_all_writing_and_reading_is_done_in_one_thread(disk: Disk) -> None:
    """A slow disk must stop neither alarms nor screen, and a connection has one owner."""
    threads = {await disk.keeper.read(lambda _: threading.current_thread()) for _ in range(3)}

    assert len(threads) == 1
    assert threads.isdisjoint({threading.current_thread()})


async def test_a_conflict_is_told_and_acknowledges_nothing(disk: Disk) -> None:
    """Somebody else was first; the act is judged again on what they left."""
    await disk.arrive("P-1")
    end = disk.keeper.head
    disk.keeper.caught_up(Head())

    with pytest.raises(ConflictError):
        await disk.keeper.append(arrivals("P-2"))

    assert disk.keeper.head == Head()
    assert why_not_saved(disk) is None
    disk.keeper.caught_up(end)
    await disk.arrive("P-3")
    assert disk.at_home() == ["P-1", "P-3"]


async def test_an_act_that_finds_the_disk_full_goes_into_a_continuation(disk: Disk) -> None:
    """The work at the bench goes on, and nothing that was done is forgotten."""
    await disk.arrive("P-1")
    end = disk.keeper.head
    disk.fill_up()

    await disk.arrive("P-2")

    not_saved = disk.keeper.not_saved
    assert not_saved is not None
    assert not_saved.why == "the disk is full"
    assert not_saved.continuation is not None
    assert read_continuation(not_saved.continuation).base == end
    assert disk.beside() == ["P-2"]
    assert disk.at_home() == ["P-1"]
    assert disk.keeper.head.seq == 2


async def test_acts_stay_in_one_file_until_it_is_joined(disk: Disk) -> None:
    """An act in the journal after one that is not there would be chained to nothing."""
    disk.fill_up()
    await disk.arrive("P-1")
    disk.make_room()

    await disk.arrive("P-2")

    assert disk.beside() == ["P-1", "P-2"]
    assert len(disk.files()) == 1
    assert disk.at_home() == []


async def test_a_mended_journal_takes_everything_home(disk: Disk) -> None:
    """The banner goes when the record is whole again, and not before."""
    disk.fill_up()
    await disk.arrive("P-1")
    await disk.arrive("P-2", "P-3")
    disk.make_room()

    await disk.keeper.check()

    assert why_not_saved(disk) is None
    assert disk.at_home() == ["P-1", "P-2", "P-3"]
    assert disk.files() == []
    await disk.arrive("P-4")
    assert disk.at_home() == ["P-1", "P-2", "P-3", "P-4"]


async def test_a_journal_that_is_still_full_is_left_for_the_next_look(disk: Disk) -> None:
    """A try that fails must cost nothing of what lies beside."""
    disk.fill_up()
    await disk.arrive("P-1")
    before = disk.keeper.not_saved

    await disk.keeper.check()

    assert disk.keeper.not_saved == before
    assert disk.beside() == ["P-1"]


async def test_a_look_at_a_sound_journal_changes_nothing(disk: Disk) -> None:
    """It is done each minute, all day."""
    await disk.arrive("P-1")

    await disk.keeper.check()

    assert why_not_saved(disk) is None
    assert disk.files() == []


async def test_a_journal_that_is_moved_is_noticed_before_the_next_act(disk: Disk) -> None:
    """Minutes may pass between two acts, and somebody can still be asked who moved it."""
    disk.move_away()

    await disk.keeper.check()

    assert why_not_saved(disk) == "the file was moved or deleted"
    await disk.arrive("P-1")
    assert disk.beside() == ["P-1"]


async def test_a_journal_that_is_moved_back_takes_everything_home(disk: Disk) -> None:
    """Whoever moved it sets it right, and nothing more is needed."""
    await disk.arrive("P-1")
    disk.move_away()
    await disk.arrive("P-2")
    disk.move_back()

    await disk.keeper.check()

    assert why_not_saved(disk) is None
    assert disk.at_home() == ["P-1", "P-2"]


async def test_an_act_on_a_deleted_journal_goes_into_a_continuation(disk: Disk) -> None:
    """The deleted file would swallow it without a word."""
    disk.path.unlink()

    await disk.arrive("P-1")

    assert why_not_saved(disk) == "the file was moved or deleted"
    assert disk.beside() == ["P-1"]


async def test_an_act_on_a_replaced_journal_goes_into_a_continuation(
    disk: Disk, tmp_path: Path
) -> None:
    """The file that bears the name now is not the one that is open."""
    await disk.arrive("P-1")
    copy_journal(disk.path, tmp_path / "copy")
    (tmp_path / "copy").replace(disk.path)

    await disk.arrive("P-2")

    assert why_not_saved(disk) == "the journal file was replaced"
    assert disk.beside() == ["P-2"]


async def test_an_act_on_a_locked_journal_goes_into_a_continuation(disk: Disk) -> None:
    """Some other tool holds the file; the act is saved, and joined when it lets go."""
    other = apsw.Connection(str(disk.path))
    other.execute("BEGIN IMMEDIATE")
    await disk.arrive("P-1")
    assert why_not_saved(disk) == "another program holds it"

    other.close()
    await disk.keeper.check()

    assert why_not_saved(disk) is None
    assert disk.at_home() == ["P-1"]


async def test_a_disk_nearly_full_is_left_before_it_is_full(
    disk: Disk, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What little room there is belongs to bringing home what was begun."""
    monkeypatch.setattr(sqlite, "LEAST_ROOM_BYTES", 1 << 62)

    await disk.keeper.check()

    assert why_not_saved(disk) == "the disk is nearly full"
    assert len(disk.files()) == 1


async def test_where_the_folder_cannot_be_written_the_next_place_is_taken(disk: Disk) -> None:
    """A stick that was pulled out takes journal and folder with it."""
    disk.block_folder()

    await disk.arrive("P-1")

    assert disk.keeper.not_saved is not None
    assert disk.keeper.not_saved.continuation is not None
    assert disk.keeper.not_saved.continuation.parent == disk.places[0]
    disk.unblock_folder()
    await disk.keeper.check()
    assert disk.at_home() == ["P-1"]
    assert disk.files() == []


async def test_with_nowhere_left_nothing_is_acknowledged(disk: Disk) -> None:
    """An act that is on no disk was not done, as far as anybody may be shown."""
    end = disk.keeper.head
    disk.block_folder()
    disk.places[0].touch()

    with pytest.raises(NotWrittenError):
        await disk.arrive("P-1")

    assert disk.keeper.head == end
    assert disk.keeper.not_saved is not None
    assert disk.keeper.not_saved.continuation is None
    disk.unblock_folder()


async def test_after_nowhere_was_left_a_mended_disk_is_used_again(disk: Disk) -> None:
    """The act is simply done again, and is the first to be on the record."""
    disk.block_folder()
    disk.places[0].touch()
    with pytest.raises(NotWrittenError):
        await disk.arrive("P-1")
    await disk.keeper.check()
    assert why_not_saved(disk) is not None
    disk.unblock_folder()

    await disk.keeper.check()
    await disk.arrive("P-1")

    assert why_not_saved(disk) is None
    assert disk.at_home() == ["P-1"]


async def test_a_continuation_that_fails_too_is_followed_by_one_in_the_next_place(
    disk: Disk,
) -> None:
    """The first lies on the disk that is filling up; other places may have room for hours."""
    disk.fill_up()
    await disk.arrive("P-1")
    disk.block_folder()

    await disk.arrive("P-2")

    disk.unblock_folder()
    disk.make_room()
    await disk.keeper.check()
    assert disk.at_home() == ["P-1", "P-2"]
    assert disk.files() == []


async def test_an_act_that_fails_in_the_continuation_is_not_acknowledged(disk: Disk) -> None:
    """It was refused to the operator, so it must not turn up on the record later."""
    disk.fill_up()
    await disk.arrive("P-1")
    end = disk.keeper.head
    disk.block_folder()
    disk.places[0].touch()

    with pytest.raises(NotWrittenError):
        await disk.arrive("P-2")

    assert disk.keeper.head == end
    disk.unblock_folder()
    disk.make_room()
    await disk.keeper.check()
    assert disk.at_home() == ["P-1"]


async def test_a_journal_in_memory_has_nowhere_to_go() -> None:
    """A rehearsal that keeps nothing leaves no file behind, not even when it fails."""
    journal = SqliteJournal.open(None)
    journal._connection.pragma("max_page_count", 1)
    keeper = Keeper(journal, None)
    assert await keeper.join_left_over() == []

    with pytest.raises(NotWrittenError, match="the disk is full"):
        await keeper.append(arrivals("P-1", padding=ONE_PAGE))

    assert keeper.head == Head()
    assert keeper.not_saved == NotSaved(why="the disk is full", continuation=None)
    await keeper.close()


async def test_a_journal_in_memory_that_can_be_written_again_is_used_again() -> None:
    """The banner of a rehearsal goes like that of a live bay."""
    journal = SqliteJournal.open(None)
    journal._connection.pragma("max_page_count", 1)
    keeper = Keeper(journal, None)
    with pytest.raises(NotWrittenError):
        await keeper.append(arrivals("P-1", padding=ONE_PAGE))
    journal._connection.pragma("max_page_count", 1_000_000)

    await keeper.check()
    await keeper.append(arrivals("P-1", padding=ONE_PAGE))

    assert keeper.not_saved is None
    assert keeper.head.seq == 1
    await keeper.close()
