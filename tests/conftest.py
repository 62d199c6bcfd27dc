"""What tests of every area may ask for: a PostgreSQL, a database in it, and a wire to it."""

from __future__ import annotations

import gc
from typing import TYPE_CHECKING

import pytest

from server import database, server, wire

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["database", "server", "wire"]

_USUAL = gc.get_threshold()


@pytest.fixture(autouse=True)
def as_if_it_ended() -> Iterator[None]:
    """A command that a test runs in this process leaves rubbish alone, and never ends."""
    yield
    gc.set_threshold(*_USUAL)
    gc.unfreeze()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark whatever asks for the server, so that `-m "not server"` leaves it out."""
    for item in items:
        if "server" in getattr(item, "fixturenames", ()):
            item.add_marker(pytest.mark.server)
