"""Whoever looks on sees what the bay records, at the bay's own time, and changes nothing."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import pytest_asyncio

from builders import private
from readbell.bay.onlooker import Onlooker
from readbell.core.board.acts import RegisterPerson
from readbell.core.cartridge.countdown import countdown
from readbell.core.cartridge.events import CartridgeLabelled
from readbell.journal.continuation import continuations_of
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from collections.abc import AsyncIterator

    from bay.conftest import Place, Work


@pytest_asyncio.fixture
async def onlooker(work: Work, place: Place) -> AsyncIterator[Onlooker]:
    """Somebody who looks on from a reading connection of their own."""
    source = SqliteJournal.open(place.path, read_only=True)
    yield Onlooker(source, place.path, (place.spill,), work.clock)
    source.close()


async def test_the_first_look_shows_everything_so_far(work: Work, onlooker: Onlooker) -> None:
    """Whoever comes late sees the same board as whoever was there."""
    await work.to_well()

    assert onlooker.look().board.running == work.bay.board.running


async def test_a_later_look_brings_only_what_is_new(work: Work, onlooker: Onlooker) -> None:
    """Each happening is told once."""
    onlooker.look()
    await work.must(work.label())

    events = onlooker.look().events
    assert [type(each) for each in events] == [CartridgeLabelled]
    assert onlooker.look().events == ()


async def test_the_onlooker_counts_as_the_bay_counts(work: Work, onlooker: Onlooker) -> None:
    """Two screens with different countdowns would be worse than one."""
    await work.to_well()
    work.clock.advance("4:30")
    news = onlooker.look()

    seen = news.board.labelled("C1")
    assert seen is not None
    count = countdown(seen, news.at)
    assert news.at == work.now()
    assert count == countdown(work.cartridge(), work.now())


@pytest.mark.parametrize("moved", [-3_600_000, 3_600_000], ids=["back", "on"])
async def test_a_moved_wall_clock_moves_no_countdown_of_the_onlooker(
    work: Work, onlooker: Onlooker, moved: int
) -> None:
    """It follows the counting clock, as the bay does."""
    await work.to_well()
    work.clock.wall += moved

    assert onlooker.look().at == work.now()


async def test_looking_on_writes_nothing(work: Work, onlooker: Onlooker) -> None:
    """The record is the bay's alone."""
    await work.to_well()
    before = await work.stored()
    onlooker.look()

    assert await work.stored() == before


async def test_what_lies_beside_is_told_until_it_has_come_home(
    work: Work, onlooker: Onlooker, place: Place
) -> None:
    """Asked anew only when something changed, and never told for longer than it is so."""
    assert onlooker.look().not_saved is None
    await work.keeper.spill("it cannot be written")
    await work.bay.do(RegisterPerson(by="op-1", person=private("P-9")))
    first = onlooker.look().not_saved
    assert first is not None
    assert first.continuation in continuations_of(place.path, (place.spill,))
    assert onlooker.look().not_saved == first
    await work.keeper.check()
    assert onlooker.look().not_saved is None
