"""The clock of the server is set while stations are at work: told once, and no countdown moves."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest_asyncio

from bay.conftest import HandClock
from bay.two_stations import Site
from builders import START
from readbell.core.board.events import ClockJumped, ComputerSlept
from readbell.core.board.wall_time import wall_of

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

    from bay.two_stations import Seat

HOUR = 3_600_000


@pytest_asyncio.fixture
async def site(tmp_path: Path) -> AsyncIterator[Site]:
    """Give a site with three stations, whose wall clocks are 40 s apart."""
    made = Site(folder=tmp_path)
    for place, name in enumerate(("window", "bench", "tent")):
        clock = HandClock(
            wall=START + 40_000 * place, counting=1_000_000 * place + 5, boot=f"boot-{name}"
        )
        await made.open(name, clock, apart=40_000 * place)
    await made.advance("0:01")
    yield made
    await made.close()


def show(seat: Seat, clock: HandClock, apart: int, step: int) -> None:
    """Have the server show one time to every station, however wrong its own wall clock is."""
    seat.server._wall = lambda: clock.wall - apart + step


def step_server(site: Site, by: int) -> None:
    """Set the clock of the server."""
    for place, seat in enumerate(site.seats.values()):
        show(seat, seat.work.clock, 40_000 * place, by)


async def measure(site: Site) -> None:
    """Let every station look at the server's clock, one after the other, as each does in turn."""
    for seat in site.seats.values():
        await seat.follow()
        await seat.following._measure()


async def jumps(site: Site) -> list[int]:
    """Return what the record says of clocks that were set."""
    seat = site.seats["window"]
    await seat.follow()
    stored = [each.event for each in await seat.work.stored()]
    return [each.by_span for each in stored if isinstance(each, ClockJumped)]


def lines(site: Site) -> set[int]:
    """Return where each station has the line."""
    return {seat.bay.now() for seat in site.seats.values()}


async def test_a_step_is_told_once_and_moves_no_line(site: Site) -> None:
    """Three times the step would make every exported time wrong by two of them."""
    await measure(site)
    before = lines(site)
    step_server(site, HOUR)

    await measure(site)

    assert lines(site) == before
    assert await jumps(site) == [HOUR]
    board = site.seats["tent"].bay.board
    now = site.seats["tent"].bay.now()
    assert wall_of(board, now) - now == HOUR


async def test_a_second_step_is_told_as_well(site: Site) -> None:
    """Somebody sets it back again."""
    await measure(site)
    step_server(site, HOUR)
    await measure(site)
    await site.advance("1:00")
    step_server(site, 0)

    await measure(site)

    assert await jumps(site) == [HOUR, -HOUR]


async def test_what_is_shown_is_the_time_that_the_server_shows(site: Site) -> None:
    """After the step, too: the wall clock of the bay is the server's."""
    await measure(site)
    step_server(site, HOUR)
    await measure(site)

    for seat in site.seats.values():
        assert seat.bay.present().wall == seat.server.server_now()


async def test_a_computer_that_was_frozen_says_so_and_goes_on_with_the_others(site: Site) -> None:
    """Its counting clock stood still for ten minutes: the strips did not."""
    await measure(site)
    for seat in site.seats.values():
        seat.presence.now = seat.bay.now
    tent = site.seats["tent"]
    for name in ("window", "bench"):
        site.seats[name].work.clock.advance("10:00")
    show(tent, tent.work.clock, 80_000, 600_000)
    for name in ("window", "bench"):
        site.seats[name].presence.pulse()

    await tent.following._measure()

    assert lines(site) == {site.seats["window"].bay.now()}
    stored = [each.event for each in await tent.work.stored()]
    slept = [each.span for each in stored if isinstance(each, ComputerSlept)]
    assert slept == [600_000]
    assert await jumps(site) == []
