"""What tests of journals ask for: a disk that can fail, a link that can be cut, a record on a server."""

from __future__ import annotations

from contextlib import closing, suppress
from typing import TYPE_CHECKING

import pytest
import pytest_asyncio

from journal.cut_link import Cut
from journal.failing import Disk
from journal.on_server import opened
from journal.samples import day
from readbell.journal.errors import JournalError
from readbell.journal.record import Head

if TYPE_CHECKING:
    from collections.abc import AsyncIterator, Iterator
    from pathlib import Path

    from readbell.journal.postgres import PostgresJournal
    from server import Database


@pytest_asyncio.fixture
async def disk(tmp_path: Path) -> AsyncIterator[Disk]:
    """Give a new journal with its keeper and one spare place to write to."""
    made = Disk(tmp_path / "bay", tmp_path / "spare")
    await made.start()
    yield made
    await made.stop()


@pytest_asyncio.fixture
async def cut(tmp_path: Path) -> AsyncIterator[Cut]:
    """Give a linked station with one arrival in the shared record."""
    made = Cut(tmp_path)
    await made.start()
    await made.arrive("P-1")
    yield made
    with suppress(JournalError):
        await made.stop()


@pytest.fixture
def on_server(database: Database) -> Iterator[PostgresJournal]:
    """Give a journal on a server that holds a day."""
    with closing(opened(database.address)) as journal:
        journal.append(day(), Head())
        yield journal
