"""Whoever looks on for long is told when a bay is no longer followed, why, and since when."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import private
from readbell.bay.around import AloneNow, Around
from readbell.bay.lookout import AGAIN_EACH, Lookout
from readbell.bay.onlooker import Onlooker
from readbell.core.board.acts import RegisterPerson
from readbell.core.board.not_followed import NotFollowed
from readbell.core.instant import SECOND, Span
from readbell.journal.errors import JournalError, LinkLostError
from readbell.journal.lock import JournalLock
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from bay.conftest import Place, Work
    from readbell.bay.lookout import Looking
    from readbell.bay.news import News


def opener(work: Work, place: Place) -> Looking:
    """Somebody who looks on from a reading connection of their own, from the snapshot on."""
    try:
        source = SqliteJournal.open(place.path, read_only=True)
    except FileNotFoundError:
        raise JournalError from None
    onlooker = Onlooker(source, place.path, (place.spill,), work.clock)
    onlooker.take_up(source.snapshot())
    return onlooker


@pytest.fixture
def held(place: Place) -> Iterator[JournalLock]:
    """The right to write, as the program of this bay has it."""
    lock = JournalLock(place.path)
    lock.take()
    yield lock
    lock.release()


@pytest.fixture
def lookout(
    work: Work,
    place: Place,
    held: JournalLock,  # noqa: ARG001  # a program runs this bay
) -> Iterator[Lookout]:
    """Somebody who has looked once."""
    found = Lookout(place.path, lambda _: opener(work, place), work.clock)
    found.look()
    yield found
    found.close()


def wait(work: Work, lookout: Lookout, span: str = "0:03") -> None:
    """Let some time go by, and look."""
    work.clock.advance(span)
    lookout.look()


async def test_it_sees_what_is_recorded_and_counts_on_between_two_looks(
    work: Work, lookout: Lookout
) -> None:
    """A wall paints each second, also where a look is late."""
    assert lookout.seen.trouble is None
    await work.to_well()
    wait(work, lookout)
    seen = lookout.seen
    assert seen.board is not None
    assert seen.board.running == work.bay.board.running
    work.clock.advance("0:02")
    assert seen.now(work.clock.read()) == work.now()


async def test_a_program_that_is_gone_is_told_since_it_was_last_seen_well(
    work: Work, lookout: Lookout, held: JournalLock
) -> None:
    """The figures go on; what is done is not seen any more."""
    await work.to_well()
    wait(work, lookout)
    well = lookout.seen.at
    held.release()
    wait(work, lookout)
    assert (lookout.seen.trouble, lookout.seen.since) == (NotFollowed.PROGRAM_GONE, well)
    wait(work, lookout, "1:00")
    assert lookout.seen.since == well
    assert lookout.seen.at == work.now()
    held.take()
    wait(work, lookout)
    followed = lookout.seen
    assert followed.trouble is None
    assert followed.since is None


async def test_a_bay_that_nobody_runs_from_the_start_is_told_since_its_last_event(
    work: Work, place: Place
) -> None:
    """Nobody knows what has been done since."""
    await work.to_well()
    last = work.now()
    work.clock.advance("4:00")
    lookout = Lookout(place.path, lambda _: opener(work, place), work.clock)
    lookout.look()
    assert (lookout.seen.trouble, lookout.seen.since) == (NotFollowed.PROGRAM_GONE, last)
    lookout.close()


async def test_a_file_that_is_gone_is_told_and_followed_again_once_it_is_back(
    work: Work, lookout: Lookout, place: Place, tmp_path: Path
) -> None:
    """What was seen stays, and counts on."""
    await work.to_well()
    wait(work, lookout)
    before = lookout.seen
    away = tmp_path / "away"
    place.path.rename(away)
    wait(work, lookout)
    assert lookout.seen.trouble is NotFollowed.FILE_GONE
    assert lookout.seen.since == before.at
    assert lookout.seen.board is before.board
    wait(work, lookout, "0:01")
    assert lookout.seen.at == work.now()
    away.rename(place.path)
    wait(work, lookout)
    back = lookout.seen
    assert back.trouble is None
    assert back.board == work.bay.board


async def test_another_file_under_the_same_name_is_read_anew(
    work: Work, lookout: Lookout, place: Place
) -> None:
    """As after an erasing, which writes the whole file again."""
    await work.to_well()
    copy = place.path.with_name("copy")
    source = SqliteJournal.open(place.path, read_only=True)
    source.close()
    await work.keeper.close()
    copy.write_bytes(place.path.read_bytes())
    copy.replace(place.path)
    wait(work, lookout)
    assert lookout.seen.trouble is None
    assert lookout.seen.board == work.bay.board


async def test_what_its_program_cannot_save_is_told(work: Work, lookout: Lookout) -> None:
    """It writes beside the record, where nobody looks."""
    await work.keeper.spill("it cannot be written")
    await work.bay.do(RegisterPerson(by="op-1", person=private("P-9")))
    wait(work, lookout)
    assert lookout.seen.trouble is NotFollowed.NOT_SAVED


def test_what_cannot_be_opened_is_tried_again_and_not_at_every_look(
    work: Work, place: Place
) -> None:
    """A large record is not begun four times a second."""
    tried = []

    def fails(path: Path) -> Looking:
        tried.append(path)
        raise LinkLostError

    lookout = Lookout(place.path, fails, work.clock)
    for _ in range(9):
        lookout.look()
        work.clock.advance("0:00.250")
    assert lookout.seen.trouble is NotFollowed.LINK_LOST
    assert lookout.seen.board is None
    assert lookout.seen.since is None
    assert len(tried) == 1 + 8 * 250 // AGAIN_EACH


async def test_a_station_that_is_alone_is_told(
    work: Work,
    place: Place,
    held: JournalLock,  # noqa: ARG001  # a program runs this bay
) -> None:
    """What the others do is not seen there, so it is not seen here either."""
    looking = opener(work, place)
    look = looking.look
    alone = Around(station="window", mark="A", alone=AloneNow(since=work.now(), why="cut"))
    vars(looking)["look"] = lambda: replace(look(), around=alone)
    lookout = Lookout(place.path, lambda _: looking, work.clock)
    lookout.look()
    assert lookout.seen.trouble is NotFollowed.ALONE
    lookout.close()


async def test_a_lost_link_is_one_loss_however_often_it_is_tried_again(
    work: Work,
    place: Place,
    held: JournalLock,  # noqa: ARG001  # a program runs this bay
) -> None:
    """Whoever looks on at a station shows at first what is here; a new one each time would flap."""
    await work.to_well()
    real, opened, is_cut = opener(work, place), [], False

    class Linked:
        """The first look never fails: it shows what is here."""

        def __init__(self) -> None:
            self._was_seen = False
            opened.append(self)

        def look(self) -> News:
            """Look, if the link is there or this is the first time."""
            if is_cut and self._was_seen:
                raise LinkLostError
            self._was_seen = True
            return real.look()

        is_kept, recorded_at, close = real.is_kept, real.recorded_at, real.close

    lookout = Lookout(place.path, lambda _: Linked(), work.clock)
    lookout.look()
    well = lookout.seen.at
    is_cut = True
    for _ in range(20):
        wait(work, lookout, "0:00.500")
        assert (lookout.seen.trouble, lookout.seen.since) == (NotFollowed.LINK_LOST, well)
    is_cut = False
    wait(work, lookout)
    assert (lookout.seen.trouble, lookout.seen.since) == (None, None)
    assert len(opened) == 1
    lookout.close()


def test_a_record_that_cannot_be_read_is_told(work: Work, place: Place) -> None:
    """Whatever is wrong with it: a wall does not end."""

    def fails(path: Path) -> Looking:
        raise JournalError(path.name)

    lookout = Lookout(place.path, fails, work.clock)
    lookout.look()
    assert lookout.seen.trouble is NotFollowed.UNREADABLE


async def test_a_look_that_does_not_come_back_is_told(work: Work, lookout: Lookout) -> None:
    """A disk on the network may hold it up for long; the screen must not look as if it lived."""
    await work.to_well()
    wait(work, lookout)
    seen, reading = lookout.seen, work.clock.read()
    assert seen.seen_at(reading) is seen
    work.clock.advance("0:07")
    late = seen.seen_at(work.clock.read())
    assert (late.trouble, late.since) == (NotFollowed.NO_ANSWER, seen.at)
    assert late.now(work.clock.read()) == work.now()


async def test_from_a_snapshot_it_sees_the_same_board(work: Work, place: Place) -> None:
    """Years are not read before a wall shows anything."""
    await work.to_well()
    whole = Onlooker(
        SqliteJournal.open(place.path, read_only=True), place.path, (place.spill,), work.clock
    )
    looking = opener(work, place)
    assert looking.look().board == whole.look().board
    assert looking.recorded_at() == whole.recorded_at()
    looking.close()
    whole.close()


def test_time_spans_are_what_they_are_meant_to_be() -> None:
    """In milliseconds."""
    assert Span(2 * SECOND) == AGAIN_EACH
