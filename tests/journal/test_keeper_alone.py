"""A lost link: the station goes on alone, says so, and loses nothing however it is started again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from journal.samples import arrivals
from readbell.journal.continuation import Continuation
from readbell.journal.errors import LINK_LOST, ConflictError, NotWrittenError
from readbell.journal.record import Head

if TYPE_CHECKING:
    from journal.cut_link import Cut


def why_not_saved(cut: Cut) -> str:
    """Return what the banner says; nothing where there is none."""
    return "" if cut.keeper.not_saved is None else cut.keeper.not_saved.why


async def test_a_lost_link_is_told_as_alone_and_nothing_is_unsaved(cut: Cut) -> None:
    """NOT SAVED stops the work; a station that is alone goes on with it."""
    cut.cut()

    await cut.arrive("P-2")

    assert cut.keeper.alone is not None
    assert cut.keeper.alone.why == LINK_LOST
    assert cut.keeper.not_saved is None
    assert cut.beside() == ["P-2"]
    assert cut.shared() == ["P-1"]


async def test_a_link_that_is_known_to_be_lost_is_not_tried_again_by_an_act(cut: Cut) -> None:
    """A try costs seconds, and an alert stands behind it in line."""
    cut.journal.cut()
    await cut.keeper.check()
    cut.server.left = 0

    await cut.arrive("P-2")
    await cut.arrive("P-3")

    assert cut.server.left == 0
    assert cut.beside() == ["P-2", "P-3"]


async def test_a_look_finds_the_lost_link_before_the_next_act(cut: Cut) -> None:
    """Minutes may pass between two acts, and nobody else sees this station meanwhile."""
    cut.journal.cut()

    await cut.keeper.check()

    assert cut.keeper.alone is not None
    assert cut.keeper.base == cut.keeper.head


async def test_what_was_done_alone_is_appended_as_it_is_if_nobody_else_wrote(cut: Cut) -> None:
    """Its hashes stay, so whatever was told of the record's end stays true."""
    cut.cut()
    await cut.arrive("P-2")
    await cut.arrive("P-3", "P-4")
    end = cut.keeper.head

    cut.mend()
    await cut.keeper.check()

    assert not cut.is_alone()
    assert cut.shared() == ["P-1", "P-2", "P-3", "P-4"]
    assert cut.end() == end
    assert cut.files() == []
    await cut.arrive("P-5")
    assert cut.shared()[-1] == "P-5"


async def test_a_commit_whose_answer_was_lost_is_found_again_and_not_made_twice(cut: Cut) -> None:
    """The cut comes in the middle of COMMIT: the server has it, and nobody here knows."""
    cut.server.loses_answers = True
    await cut.arrive("P-2")
    assert cut.beside() == ["P-2"]
    await cut.arrive("P-3")

    cut.mend()
    await cut.keeper.check()

    assert not cut.is_alone()
    assert cut.shared() == ["P-1", "P-2", "P-3"]
    assert cut.files() == []


async def test_a_station_that_is_started_without_its_server_goes_on_where_it_was(cut: Cut) -> None:
    """From its mirror, and from what it did alone before."""
    cut.cut()
    await cut.arrive("P-2")
    end = cut.keeper.head

    assert await cut.restart(cut=True) == []

    assert cut.keeper.head == end
    assert cut.keeper.alone is not None
    assert cut.keeper.not_saved is None
    await cut.arrive("P-3")
    assert cut.beside() == ["P-2", "P-3"]
    cut.mend()
    await cut.keeper.check()
    assert cut.shared() == ["P-1", "P-2", "P-3"]


async def test_a_station_that_is_started_linked_brings_home_what_nobody_parted_from(
    cut: Cut,
) -> None:
    """The link came back while the program was down."""
    cut.cut()
    await cut.arrive("P-2")

    assert await cut.restart() == []
    assert cut.is_alone(), "until the bay stands, that can tell how much it was"
    await cut.keeper.check()

    assert not cut.is_alone()
    assert cut.keeper.brought_home == 1
    assert cut.shared() == ["P-1", "P-2"]
    assert cut.files() == []


async def test_a_disk_that_fails_as_well_is_not_saved(cut: Cut) -> None:
    """Alone, and with nowhere to write to: from here on only paper is left."""
    cut.cut()
    folder = cut.path.parent
    away = folder.with_name("away")
    folder.rename(away)
    folder.touch()

    with pytest.raises(NotWrittenError):
        await cut.arrive("P-2")

    assert LINK_LOST in why_not_saved(cut)
    folder.unlink()
    away.rename(folder)
    await cut.arrive("P-3")
    assert not why_not_saved(cut)
    assert cut.is_alone()
    assert cut.beside() == ["P-3"]


async def test_a_cut_without_any_act_leaves_nothing_behind(cut: Cut) -> None:
    """Most cuts are short."""
    cut.journal.cut()
    await cut.keeper.check()
    cut.elsewhere("P-8")

    cut.mend()
    await cut.keeper.check()

    assert not cut.is_alone()
    assert cut.files() == []
    assert cut.shared() == ["P-1", "P-8"]


async def test_what_was_brought_in_from_elsewhere_is_not_ours(cut: Cut) -> None:
    """An act on a stale end is a conflict still, alone or not."""
    cut.elsewhere("P-8")

    with pytest.raises(ConflictError):
        await cut.keeper.append(arrivals("P-2", after=cut.keeper.head))

    assert not cut.is_alone()


async def test_a_file_of_another_bay_is_not_joined_up_with_this_one(cut: Cut) -> None:
    """It bears our name, for this computer joined another bay with it before."""
    cut.cut()
    await cut.arrive("P-2")
    (file,) = cut.files()
    file.unlink()
    await cut.stop()
    base = Head(seq=1, hash=bytes.fromhex("ab" * 32))
    Continuation.begin(cut.path, (), base, "t").append(arrivals("P-9", after=base))

    (branch,) = await cut.start()

    assert "the journal went on without it" in branch.why
    assert not cut.is_alone()
    assert cut.shared() == ["P-1"]


async def test_what_goes_on_from_an_event_that_only_the_server_has_waits_for_a_later_start(
    cut: Cut,
) -> None:
    """The disk of the mirror was full, the link was lost, and the program was killed."""
    cut.elsewhere("P-8")
    base = cut.end()
    await cut.stop()
    Continuation.begin(cut.path, (), base, "t").append(arrivals("P-9", after=base))

    (branch,) = await cut.start(cut=True)
    assert branch.why.endswith("end readbell here and start it again once the link is back")
    assert cut.beside() == ["P-9"]

    cut.mend()
    assert await cut.restart() == []
    await cut.keeper.check()
    assert cut.shared() == ["P-1", "P-8", "P-9"]
    assert cut.files() == []
