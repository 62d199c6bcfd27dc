"""Fixtures of the tests with real stations on a real server: two of them, with everything registered."""

from __future__ import annotations

from contextlib import AsyncExitStack
from datetime import date
from typing import TYPE_CHECKING

import pytest_asyncio

from bay.following.site import Site, prepare
from own_clock import OwnClock

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path

    from bay.following.site import Station
    from server import Database


@pytest_asyncio.fixture
async def site(tmp_path: Path, database: Database) -> AsyncIterator[Site]:
    """Give a site on whose server nothing is on record yet."""
    async with AsyncExitStack() as stack:
        yield Site(folder=tmp_path, address=database.address, stack=stack)


@pytest_asyncio.fixture
async def window(site: Site) -> Station:
    """Give the first station, whose wall clock is 40 s ahead; everything is registered there."""
    made = await site.open("window", OwnClock(wall=40_000, counting=7_000_000, boot="w"))
    await prepare(made, date(2099, 12, 31))
    return made


@pytest_asyncio.fixture
async def bench(site: Site, window: Station) -> Station:
    """Give a second station, whose counting clock is another one."""
    made = await site.open("bench", OwnClock(counting=123, boot="b"))
    assert made.board.persons == window.board.persons
    return made
