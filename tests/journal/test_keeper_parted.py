"""Both sides of a cut link wrote: they are compared, and what was done alone comes home once and whole."""

from __future__ import annotations

from contextlib import closing, suppress
from typing import TYPE_CHECKING

import pytest

from journal.cut_link import moved
from journal.samples import arrival, chain
from readbell.journal.errors import ConflictError, JournalError, LinkLostError
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained

if TYPE_CHECKING:
    from pathlib import Path

    from journal.cut_link import Cut


def forget_mirror(folder: Path) -> None:
    """Take the mirror away."""
    for each in folder.glob("bay.station.mirror*"):
        each.unlink()


async def test_if_others_wrote_meanwhile_both_sides_have_parted(cut: Cut) -> None:
    """Only whoever knows what events mean can say how they go together: nothing is appended."""
    cut.cut()
    await cut.arrive("P-2")
    cut.elsewhere("P-8")

    cut.mend()
    await cut.keeper.check()

    assert cut.keeper.alone is not None
    assert cut.keeper.alone.has_parted
    assert cut.shared() == ["P-1", "P-8"]
    assert cut.beside() == ["P-2"]


async def test_while_both_sides_have_parted_the_record_read_here_is_our_own(cut: Cut) -> None:
    """What others did is in the mirror by then, and would be of another story."""
    cut.cut()
    await cut.arrive("P-2")
    cut.elsewhere("P-8", "P-9")
    cut.mend()
    await cut.keeper.check()

    hashes = await cut.keeper.read(lambda source: [each.hash for each in source.records()])

    assert hashes == [each.hash for each in chain([arrival("P-1"), arrival("P-2")])]


async def test_both_sides_are_found_from_the_last_event_they_have_in_common(cut: Cut) -> None:
    """It is what the joining up is worked out from."""
    base = cut.keeper.head
    cut.cut()
    await cut.arrive("P-2")
    cut.elsewhere("P-8")
    cut.mend()
    await cut.keeper.check()

    found = await cut.parted()

    assert found.base == base
    assert [each.seq for each in found.theirs] == [2]
    assert [each.seq for each in found.ours] == [2]
    assert found.passed == ()


async def test_joined_up_everything_is_there_once_and_the_file_is_gone(cut: Cut) -> None:
    """The banner goes when the record has all of it, and not before."""
    cut.cut()
    await cut.arrive("P-2", "P-3")
    cut.elsewhere("P-8")
    cut.mend()
    await cut.keeper.check()

    await cut.join()

    assert cut.shared() == ["P-1", "P-8", "P-2", "P-3", "joined-up"]
    assert not cut.is_alone()
    assert cut.files() == []
    assert cut.keeper.head == cut.end()


async def test_somebody_who_records_during_the_joining_up_makes_it_begin_anew(cut: Cut) -> None:
    """It was worked out for an end that is none any more."""
    cut.cut()
    await cut.arrive("P-2")
    cut.elsewhere("P-8")
    cut.mend()
    await cut.keeper.check()
    found = await cut.parted()
    cut.elsewhere("P-9")

    with pytest.raises(ConflictError):
        await cut.keeper.join_up(moved(found.ours, found.end), found.end)

    assert cut.keeper.alone is not None
    assert cut.beside() == ["P-2"]
    await cut.join()
    assert cut.shared() == ["P-1", "P-8", "P-9", "P-2", "joined-up"]


async def test_after_such_a_commit_others_may_have_gone_on(cut: Cut) -> None:
    """What the server has of ours is common to both sides by then."""
    cut.server.loses_answers = True
    await cut.arrive("P-2")
    await cut.arrive("P-3")
    cut.elsewhere("P-8")
    cut.mend()
    await cut.keeper.check()

    found = await cut.parted()

    assert [each.seq for each in found.passed] == [2]
    assert found.base.seq == 2
    assert [each.seq for each in found.theirs] == [3]
    assert [each.seq for each in found.ours] == [3]
    await cut.join()
    assert cut.shared() == ["P-1", "P-2", "P-8", "P-3", "joined-up"]


async def test_a_joining_up_whose_answer_was_lost_is_found_again_and_not_made_twice(
    cut: Cut,
) -> None:
    """And what was done alone after it is joined up by itself, on what it made of the record."""
    cut.cut()
    await cut.arrive("P-2")
    cut.elsewhere("P-8")
    cut.mend()
    await cut.keeper.check()
    cut.server.loses_answers = True
    with pytest.raises(LinkLostError):
        await cut.join()
    assert cut.keeper.alone is not None
    await cut.keeper.check()
    assert not cut.keeper.alone.has_parted
    await cut.arrive("P-3")
    cut.elsewhere("P-9")

    cut.mend()
    await cut.keeper.check()
    await cut.join()

    assert cut.shared() == ["P-1", "P-8", "P-2", "joined-up", "P-9", "P-3", "joined-up"]
    assert cut.files() == []


@pytest.mark.parametrize("calls", range(12))
async def test_the_link_may_be_cut_again_at_any_call_of_the_coming_home(
    cut: Cut, calls: int
) -> None:
    """Nothing lost and nothing twice, wherever it falls."""
    cut.cut()
    await cut.arrive("P-2")
    await cut.arrive("P-3")
    cut.elsewhere("P-8")
    cut.mend()
    cut.server.left = calls
    with suppress(JournalError):
        await cut.keeper.check()
        await cut.join()

    cut.mend()
    await cut.keeper.check()
    if cut.is_alone():
        await cut.join()

    assert cut.shared() == ["P-1", "P-8", "P-2", "P-3", "joined-up"]
    assert cut.files() == []


async def test_a_station_that_is_started_linked_finds_that_both_sides_have_parted(
    cut: Cut,
) -> None:
    """It goes on with its own side until both are joined up: nothing of it is left beside."""
    cut.cut()
    await cut.arrive("P-2")
    cut.elsewhere("P-8")

    assert await cut.restart() == []

    assert cut.keeper.alone is not None
    assert cut.keeper.alone.has_parted
    await cut.arrive("P-3")
    await cut.join()
    assert cut.shared() == ["P-1", "P-8", "P-2", "P-3", "joined-up"]


async def test_a_crash_after_the_joining_up_leaves_a_file_that_is_known_to_be_home(
    cut: Cut,
) -> None:
    """It is cut off between the server's answer and the taking away of the file."""
    cut.cut()
    await cut.arrive("P-2")
    cut.elsewhere("P-8")
    cut.mend()
    await cut.keeper.check()
    found = await cut.parted()
    await cut.keeper.read(
        lambda _: cut.journal.append(moved(found.ours, found.end), found.end)  # and no more
    )

    await cut.restart()
    found = await cut.parted()
    assert found.ours == ()
    await cut.join()

    assert cut.shared() == ["P-1", "P-8", "P-2", "joined-up"]
    assert cut.files() == []
    await cut.arrive("P-3")
    assert cut.shared()[-1] == "P-3"


async def test_a_station_with_nothing_done_alone_has_nothing_to_join_up(cut: Cut) -> None:
    """Whoever asks all the same is told so."""
    with pytest.raises(JournalError, match="nothing was done alone"):
        await cut.parted()


async def test_of_two_files_that_both_go_on_from_the_record_one_comes_home_after_the_other(
    cut: Cut, tmp_path: Path
) -> None:
    """The mirror was brought back from an older copy, and the station was begun alone on it."""
    older = [*cut.journal.mirror.records()]
    cut.elsewhere("P-2")
    cut.journal.pull()
    cut.keeper.caught_up(cut.journal.head())
    cut.cut()
    await cut.arrive("P-3")
    await cut.stop()
    forget_mirror(tmp_path)
    with closing(SqliteJournal.open(tmp_path / "bay.station.mirror")) as mirror:
        mirror.append(older, mirror.head())
    assert len(await cut.start(cut=True)) == 1
    await cut.arrive("P-4")

    assert len(await cut.restart()) == 1
    assert await cut.keeper.read(lambda source: [each.seq for each in chained(source)]) == [1, 2]
    await cut.join()
    assert await cut.restart() == []
    await cut.join()

    assert sorted(name for name in cut.shared() if name.startswith("P-")) == [
        "P-1",
        "P-2",
        "P-3",
        "P-4",
    ]
    assert cut.files() == []
