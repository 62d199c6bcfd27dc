"""Append first, show second: nobody hears of anything that a power cut could still take back."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import apsw

from builders import NASAL
from readbell.assays.content_hash import content_hash
from readbell.core.board.events import BayFounded, Mode, ProgramStarted
from readbell.core.cartridge.events import CartridgeLabelled

if TYPE_CHECKING:
    from bay.conftest import Place, Work
    from readbell.bay.news import News


async def test_a_listener_hears_only_of_what_is_on_the_disk(place: Place) -> None:
    """Whoever is shown an act may rely on it: another reader of the file finds it there too."""
    heard: list[int] = []
    stored: list[int] = []

    def listen(news: News) -> None:
        other = apsw.Connection(str(place.path), flags=apsw.SQLITE_OPEN_READONLY)
        ((events,),) = other.execute("SELECT count(*) FROM event")
        other.close()
        heard.append(len(news.events))
        stored.append(events)

    work = await place.take_up(listener=listen)
    await work.prepare()
    await work.to_well()

    told = [sum(heard[: place + 1]) for place in range(len(heard))]
    assert len(heard) > 10
    assert told == stored


async def test_news_brings_the_board_that_its_events_led_to(work: Work) -> None:
    """A screen paints what it is handed: it must never have to ask a second time."""
    await work.must(work.label())

    (labelled,) = work.told[-1].events
    assert isinstance(labelled, CartridgeLabelled)
    assert labelled.cartridge in work.told[-1].board.running
    assert labelled.cartridge not in work.told[-2].board.running


async def test_a_board_once_told_never_changes(work: Work) -> None:
    """Screens and reports keep old boards; a later act must not rewrite what they hold."""
    await work.must(work.label())
    board = work.told[-1].board
    before = board.labelled("C1")

    await work.must(work.step("buffer"))

    assert board.labelled("C1") is before
    assert work.bay.board.labelled("C1") is not before


async def test_a_new_journal_begins_with_its_founding(place: Place) -> None:
    """What a journal is of must stand before anything in it."""
    work = await place.take_up(timezone="Europe/London")

    founding, started, *_ = [each.event for each in await work.stored()]
    assert founding == BayFounded(
        at=work.now(), bay="Harrow Quay", timezone="Europe/London", mode=Mode.LIVE
    )
    assert isinstance(started, ProgramStarted)


async def test_every_event_says_where_when_and_by_what_it_was_recorded(work: Work) -> None:
    """Years later the record alone must tell which place, clock, boot, program and assay it was."""
    await work.must(work.label())
    work.clock.advance("0:30")
    await work.must(work.step("buffer"))

    reading, last = work.clock.read(), (await work.stored())[-1]
    assert (last.stamp.bay, last.stamp.station, last.stamp.program) == ("Harrow Quay", "left", "1")
    assert (last.stamp.wall, last.stamp.counting) == (reading.wall, reading.counting)
    assert (last.stamp.boot, last.stamp.mode) == ("boot-1", Mode.LIVE)
    assert last.assay == content_hash(NASAL)


async def test_every_event_has_an_id_of_its_own(work: Work) -> None:
    """Two events with one id could not be told apart in an export."""
    await work.to_well()

    ids = [each.id for each in await work.stored()]
    assert len(ids) > 12
    assert len(set(ids)) == len(ids)


async def test_identifiers_stand_beside_the_chain_and_not_in_it(work: Work) -> None:
    """A person may ask to be forgotten, and the chain can never be changed."""
    await work.to_well()
    await work.refused(work.label("C2", person="P-404"))

    chained = await work.bodies()
    found = re.findall(r"(?<!key-)(op-1|op-2|P-001|P-002|P-404)", chained)
    assert "key-P-001" in chained
    assert found == []
