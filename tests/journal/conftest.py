"""A disk that can fail, started and stopped around each test that asks for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest_asyncio

from journal.failing import Disk

if TYPE_CHECKING:
    from collections.abc import AsyncIterator
    from pathlib import Path


@pytest_asyncio.fixture
async def disk(tmp_path: Path) -> AsyncIterator[Disk]:
    """Give a new journal with its keeper and one spare place to write to."""
    made = Disk(tmp_path / "bay", tmp_path / "spare")
    await made.start()
    yield made
    await made.stop()
