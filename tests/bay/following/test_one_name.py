"""Two computers that say that they are one station: a file was copied, or a name given twice."""

from __future__ import annotations

import asyncio
import sqlite3
from contextlib import closing
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from bay.following.site import at_work, has_twin, heads, is_linked, label, step, why_refused
from own_clock import OwnClock
from readbell.bay.following import Following
from readbell.core.errors import ReadbellError
from readbell.core.instant import Span
from readbell.core.refusal import RefusalCode
from readbell.settings.station_file import mirror_of, read_station_file, write_station_file
from readbell.stations.joining import Asked, join

if TYPE_CHECKING:
    from pathlib import Path

    from bay.following.site import Site, Station
    from readbell.clock.anchor import Anchor
    from server import Database
    from wire import Wire


@pytest.mark.usefixtures("window")
async def test_a_computer_that_passes_for_another_station_is_refused(
    site: Site, tmp_path: Path
) -> None:
    """A station file was copied to a second computer."""
    copy = tmp_path / "copy.station"
    copy.write_bytes(site.file("window").read_bytes())

    with pytest.raises(ReadbellError, match="another computer is station window"):
        async with at_work(copy, "window", OwnClock()):
            pass


@pytest.mark.usefixtures("window")
async def test_another_computer_of_the_same_name_is_waited_for_if_its_answer_takes_long(
    site: Site, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is busy, or the way is long: the server knows of it though it has not answered."""
    monkeypatch.setattr("readbell.bay.roll_call.TWIN_ANSWERS_WITHIN", Span(0))
    copy = tmp_path / "copy.station"
    copy.write_bytes(site.file("window").read_bytes())

    with pytest.raises(ReadbellError, match="another computer is station window"):
        async with at_work(copy, "window", OwnClock()):
            pass


@pytest.mark.usefixtures("window")
async def test_a_computer_that_passes_for_another_is_refused_though_it_is_slow_to_open(
    site: Site, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The other one has answered before this one comes to look at the server's clock."""
    begin = Following.begin

    async def late(following: Following) -> Anchor:
        while not following.presence.is_second:
            await following._sleeper.sleep(Span(100))
        return await begin(following)

    monkeypatch.setattr(Following, "begin", late)
    copy = tmp_path / "copy.station"
    copy.write_bytes(site.file("window").read_bytes())

    with pytest.raises(ReadbellError, match="another computer is station window"):
        async with at_work(copy, "window", OwnClock()):
            pass


async def test_a_computer_is_refused_if_the_other_answers_just_before_it_records_that_it_is_here(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its link is cut for that, and it would begin as one that is alone."""
    begin = Following.begin

    async def just_before(following: Following) -> Anchor:
        begun = await begin(following)
        following._note_pulse('{"station": "bench", "run": "the other one", "since": 0}')
        return begun

    monkeypatch.setattr(Following, "begin", just_before)

    with pytest.raises(ReadbellError, match="another computer is station bench"):
        await site.open("bench", OwnClock())


async def test_of_two_computers_that_are_one_station_the_second_stays_alone_and_both_say_so(
    window: Station, database: Database, wire: Wire, tmp_path: Path
) -> None:
    """The copy was begun without a link, so nobody could refuse it; it may read nothing of the first's."""
    await window.must(label())
    copy = tmp_path / "copy.station"
    file = replace(read_station_file(window.path), address=database.through(wire))
    write_station_file(copy, file)
    with (
        closing(sqlite3.connect(mirror_of(window.path))) as whole,
        closing(sqlite3.connect(mirror_of(copy))) as copied,
    ):
        whole.backup(copied)
    wire.cut()
    async with at_work(copy, "window", OwnClock(boot="c")) as second:
        assert "C1" in second.board.labels
        await second.must(label("A-C5", "P-002"))
        wire.mend()

        await second.until(lambda each: "another computer is station window" in why_refused(each))
        await window.until(lambda each: has_twin(each) and is_linked(each))

        before = heads(window)
        other = await second.bay.enter(step("buffer"))
        assert other.refusal is not None
        assert other.refusal.code is RefusalCode.HELD_ELSEWHERE
        new = await second.bay.enter(label("A-C6", "P-001"))
        assert new.refusal is not None
        assert new.refusal.code is RefusalCode.ALONE
        await second.must(step("buffer", "A-C5"))
        assert heads(window) == before

    await window.until(lambda each: not has_twin(each))
    asked = Asked(
        address=file.address,
        bay=file.bay,
        is_new=False,
        station="office",
        hears=frozenset({"waits"}),
        lanes=frozenset(),
        sets_policy=False,
        path=copy,
    )
    await asyncio.to_thread(join, asked, lambda _done, _of: None)
    async with at_work(copy, "office", OwnClock(boot="c")) as office:
        await window.until(lambda each: "A-C5" in each.board.labels)
        assert not office.board.apart
