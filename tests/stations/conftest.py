"""What tests with several stations share: a real server, a wire to it that can be cut, a record there."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from builders import START
from journal.samples import arrivals, chain
from readbell.bay.onlooker import Onlooker
from readbell.core.board.events import BayFounded, Mode, ProgramStarted
from readbell.core.instant import Span
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal
from readbell.settings.station_file import StationFile, mirror_of, write_station_file
from readbell.stations.looking import StationLookout
from server import database, server, wire

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from own_clock import OwnClock
    from readbell.bay.news import News
    from server import Database
    from wire import Wire

__all__ = ["database", "server", "wire"]

BAY = "Harrow Quay"
APART = 2_000
"""Milliseconds by which two clocks may be taken for one another, as a busy machine measures them."""


@pytest.fixture
def record(database: Database) -> Iterator[PostgresJournal]:
    """Give a record on the server, as another station writes it."""
    made = PostgresJournal.open(read_address(database.address), BAY, station="bench", found=True)
    with closing(made):
        founded = BayFounded(at=START, bay=BAY, timezone="UTC", mode=Mode.LIVE)
        started = ProgramStarted(at=START, clean=True, away=Span(0), running=0)
        made.append(chain([founded, started]), Head())
        yield made


@pytest.fixture
def path(tmp_path: Path, database: Database, wire: Wire) -> Path:
    """Give the station file of a computer that joined, by way of a wire that can be cut."""
    made = tmp_path / "bay.station"
    address = database.through(wire)
    write_station_file(made, StationFile(address=address, bay=BAY, station="wall", mark="W"))
    return made


def arrive(record: PostgresJournal, *names: str) -> None:
    """Let somebody arrive at the other station."""
    end = record.head()
    record.append(arrivals(*names, after=end), end)


def shown(path: Path, clock: OwnClock) -> News:
    """Return what somebody sees who looks on from a computer with `clock`."""
    with closing(SqliteJournal.open(mirror_of(path), read_only=True)) as mirror:
        lookout = StationLookout(path, Onlooker(mirror, path, (), clock), clock)
        with closing(lookout):
            return lookout.look()
