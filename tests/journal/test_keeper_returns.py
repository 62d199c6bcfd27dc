"""After a crash at the worst moment, everything acknowledged is found, once and in order."""

from __future__ import annotations

import asyncio
import os
import threading
from contextlib import suppress
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from journal.failing import Disk, names_in
from journal.samples import ONE_PAGE, arrivals
from patience import PATIENCE_SECONDS
from readbell.journal.continuation import Continuation, read_continuation
from readbell.journal.errors import ConflictError, NotWrittenError
from readbell.journal.keeper import Keeper
from readbell.journal.record import Head, Record
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    import apsw


async def test_what_was_spilled_is_joined_at_the_next_start(disk: Disk) -> None:
    """The base is still the end of the journal, so the events go where they belong."""
    await disk.arrive("P-1")
    disk.fill_up()
    await disk.arrive("P-2")
    await disk.arrive("P-3")
    end = disk.keeper.head

    assert await disk.restart() == []

    assert disk.at_home() == ["P-1", "P-2", "P-3"]
    assert disk.keeper.head == end
    assert disk.files() == []


async def test_identifiers_that_were_spilled_come_home_too(disk: Disk) -> None:
    """An event without its person is a result for nobody."""
    disk.fill_up()
    await disk.arrive("P-1")

    await disk.restart()

    key = f"key-P-1{'.' * ONE_PAGE}"
    row = await disk.keeper.read(lambda journal: journal.private(key))
    assert row is not None
    assert row.value == f"P-1{'.' * ONE_PAGE}"


async def test_files_that_follow_each_other_are_all_joined(disk: Disk) -> None:
    """Two bad hours in one shift leave two files, and the second goes on from the first."""
    first = arrivals("P-1", "P-2")
    second = arrivals("P-3", after=first[-1].head)
    for name, base, records in (("z", Head(), first), ("a", first[-1].head, second)):
        Continuation.begin(disk.path, disk.places, base, name).append(records)

    assert await disk.restart() == []

    assert disk.at_home() == ["P-1", "P-2", "P-3"]


async def test_a_file_whose_base_has_passed_stays_as_a_branch(disk: Disk) -> None:
    """Two stories from one point on: only a person can say which of them is true."""
    file = Continuation.begin(disk.path, disk.places, Head(), "t")
    file.append(arrivals("P-8"))
    before = file.path.read_bytes()
    await disk.arrive("P-1")

    (branch,) = await disk.restart()

    assert branch.path == file.path.resolve()
    assert "the journal went on without it" in branch.why
    assert file.path.read_bytes() == before
    assert disk.at_home() == ["P-1"]
    assert disk.keeper.head.seq == 1


async def test_a_branch_is_told_at_every_start_until_it_is_settled(disk: Disk) -> None:
    """Told once, it would be forgotten at the next change of shift."""
    Continuation.begin(disk.path, disk.places, Head(), "t").append(arrivals("P-8"))
    await disk.arrive("P-1")

    assert len(await disk.restart()) == 1
    assert len(await disk.restart()) == 1


async def test_a_file_beyond_the_end_of_a_restored_journal_stays_as_a_branch(disk: Disk) -> None:
    """The backup is older than the base: what lies between is missing."""
    between = arrivals("P-1")[-1].head
    Continuation.begin(disk.path, disk.places, between, "t").append(arrivals("P-2", after=between))

    (branch,) = await disk.restart()

    assert "it goes on from event 1" in branch.why
    assert disk.beside() == ["P-2"]


@pytest.mark.parametrize("home", [1, 2, 3], ids=["the first", "all but one", "all"])
async def test_a_crash_between_joining_and_deleting_doubles_nothing(disk: Disk, home: int) -> None:
    """Some of the events are home already; the rest follow, and the file goes."""
    records = arrivals("P-1", "P-2", "P-3")
    file = Continuation.begin(disk.path, disk.places, Head(), "t")
    file.append(records)
    await disk.keeper.append(records[:home])

    assert await disk.restart() == []

    assert disk.at_home() == ["P-1", "P-2", "P-3"]
    assert disk.files() == []


async def test_a_file_whose_events_came_home_long_ago_goes(disk: Disk) -> None:
    """Others have been added since; that does not make it a branch."""
    records = arrivals("P-1", "P-2")
    Continuation.begin(disk.path, disk.places, Head(), "t").append(records[:1])
    await disk.keeper.append(records)

    assert await disk.restart() == []

    assert disk.files() == []


async def test_a_last_line_cut_short_does_not_hold_up_the_others(disk: Disk) -> None:
    """It was never acknowledged; those before it were."""
    disk.fill_up()
    await disk.arrive("P-1")
    await disk.arrive("P-2")
    (file,) = disk.files()
    os.truncate(file, file.stat().st_size - 100)

    assert await disk.restart() == []

    assert disk.at_home() == ["P-1"]
    assert disk.files() == []


async def test_a_changed_file_is_kept_and_not_joined(disk: Disk) -> None:
    """What somebody edited is evidence, and no part of the record."""
    disk.fill_up()
    await disk.arrive("P-1")
    (file,) = disk.files()
    changed = file.read_bytes().replace(b"bench-1", b"bench-2")
    file.write_bytes(changed)

    (branch,) = await disk.restart()

    assert "it does not follow from the one before" in branch.why
    assert file.read_bytes() == changed
    assert disk.at_home() == []


async def test_a_start_on_a_disk_still_full_goes_on_from_what_was_spilled(disk: Disk) -> None:
    """A fork here would take the cartridges begun since off the board, with their alarms."""
    await disk.arrive("P-1")
    disk.fill_up()
    await disk.arrive("P-2")
    end = disk.keeper.head

    assert await disk.restart(full=True) == []

    assert disk.keeper.head == end
    assert disk.keeper.not_saved is not None
    await disk.arrive("P-3")
    disk.make_room()
    await disk.keeper.check()
    assert disk.at_home() == ["P-1", "P-2", "P-3"]
    assert disk.files() == []


class AnswerLost(SqliteJournal):
    """A journal whose next append is stored, though it says that it was not."""

    def append(self, records: Sequence[Record], expected: Head) -> Head:
        """Store `records` and lose the answer."""
        super().append(records, expected)
        msg = "the line went dead"
        raise NotWrittenError(msg)


async def test_a_commit_whose_answer_was_lost_doubles_nothing(tmp_path: Path) -> None:
    """The events are in the journal and in the file; they happened once."""
    disk = Disk(tmp_path / "bay")
    keeper = Keeper(AnswerLost.open(disk.path), disk.path)
    await keeper.append(arrivals("P-1"))
    assert disk.beside() == ["P-1"]

    await keeper.check()

    assert keeper.not_saved is None
    assert disk.at_home() == ["P-1"]
    assert disk.files() == []
    await keeper.close()


class SlowToFail(SqliteJournal):
    """A journal that cannot be written and takes its time to say so."""

    def __init__(self, connection: apsw.Connection, path: Path | None) -> None:
        super().__init__(connection, path)
        self.began = threading.Event()
        self.goes_on = threading.Event()

    def append(self, records: Sequence[Record], expected: Head) -> Head:
        """Wait, and then store nothing."""
        del records, expected
        self.began.set()
        self.goes_on.wait(PATIENCE_SECONDS)
        msg = "the disk is full"
        raise NotWrittenError(msg)


async def test_an_act_broken_off_half_way_does_not_tear_the_continuation(tmp_path: Path) -> None:
    """Nobody waits for it any more, and yet it reaches the disk; the next must follow it."""
    disk = Disk(tmp_path / "bay")
    journal = SlowToFail.open(disk.path)
    keeper = Keeper(journal, disk.path)
    broken_off = asyncio.create_task(keeper.append(arrivals("P-1")))
    await asyncio.to_thread(journal.began.wait, PATIENCE_SECONDS)
    broken_off.cancel()
    with suppress(asyncio.CancelledError):
        await broken_off
    journal.goes_on.set()

    with suppress(ConflictError):
        await keeper.append(arrivals("P-2", after=keeper.head))

    await keeper.close()
    (file,) = disk.files()
    assert names_in(read_continuation(file).records)[0] == "P-1"


STEPS = st.lists(
    st.sampled_from(["act", "act", "act of two", "fill", "move", "mend", "look", "restart"]),
    max_size=14,
)


async def mend(disk: Disk) -> None:
    """Take away all that ails the journal."""
    disk.make_room()
    disk.move_back()


async def take(disk: Disk, step: str, acknowledged: list[str]) -> None:
    """Let `step` happen, and note who was acknowledged."""
    match step:
        case "act" | "act of two":
            names = [f"P-{len(acknowledged) + each}" for each in range(1 + (step != "act"))]
            await disk.arrive(*names)
            acknowledged.extend(names)
        case "fill":
            disk.fill_up()
        case "move":
            disk.move_away()
        case "mend":
            await mend(disk)
        case "look":
            await disk.keeper.check()
        case "restart":
            disk.move_back()
            await disk.restart()
        case "restart on a full disk":
            disk.move_back()
            await disk.restart(full=True)


async def live_through(disk: Disk, steps: Sequence[str]) -> list[str]:
    """Let `steps` happen and everything be mended in the end; return who was acknowledged."""
    acknowledged: list[str] = []
    await disk.start()
    for step in steps:
        await take(disk, step, acknowledged)
    await mend(disk)
    await disk.restart()
    await disk.stop()
    return acknowledged


@settings(max_examples=40, deadline=None)
@given(steps=STEPS)
def test_nothing_acknowledged_is_ever_lost(
    tmp_path_factory: pytest.TempPathFactory, steps: list[str]
) -> None:
    """Whatever fails in whatever order: all of it is home in the end, once and in order."""
    disk = Disk(tmp_path_factory.mktemp("disk"))

    acknowledged = asyncio.run(live_through(disk, steps))

    assert disk.at_home() == acknowledged
    assert disk.files() == []


@settings(max_examples=30, deadline=None)
@given(
    steps=st.lists(
        st.sampled_from(["act", "act", "fill", "mend", "look", "restart on a full disk"]),
        max_size=12,
    )
)
def test_everything_acknowledged_is_on_some_disk_even_if_restarts_fail_too(
    tmp_path_factory: pytest.TempPathFactory, steps: list[str]
) -> None:
    """Where two stories cannot be joined, both are kept for a person to settle."""
    disk = Disk(tmp_path_factory.mktemp("disk"))

    acknowledged = asyncio.run(live_through(disk, steps))

    assert sorted(disk.at_home() + disk.beside()) == sorted(acknowledged)
