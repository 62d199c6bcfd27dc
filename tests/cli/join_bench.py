"""A bay on a server that a station joins, and what came of its asking."""

from __future__ import annotations

import json
import threading
from contextlib import closing
from typing import TYPE_CHECKING

import psycopg

from builders import START
from readbell.core.board.events import BayFounded, Mode
from readbell.journal.codec import encode_each
from readbell.journal.envelope import Envelope, Stamp
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address
from readbell.stations.joining import Asked

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from cli.conftest import Outcome
    from readbell.core.board.event import Event
    from readbell.journal.record import Head
    from server import Database


BAY = "Harrow Quay"


def founding(mode: Mode = Mode.LIVE) -> BayFounded:
    """Return the first event of a bay."""
    return BayFounded(at=START, bay=BAY, timezone="UTC", mode=mode)


def record(database: Database, *events: Event, bay: str = BAY) -> Head:
    """Put `events` on the record of a bay, made where there is none."""
    stamp = Stamp(
        bay=bay, station="s", mode=Mode.LIVE, program="1", at=START, wall=0, counting=0, boot="b"
    )
    journal = PostgresJournal.open(read_address(database.address), bay, found=True)
    with closing(journal):
        end = journal.head()
        envelopes = [
            Envelope(id=f"e{end.seq}-{place}", event=each, stamp=stamp, assay=None)
            for place, each in enumerate(events)
        ]
        return journal.append(encode_each(envelopes, end), end) if events else end


def refused(outcome: Outcome, told: str) -> None:
    """Check that a command was refused in one sentence, without a password in it."""
    assert outcome.status == 2, outcome
    assert told in outcome.err
    assert outcome.err.count("\n") == 1
    assert "lamps" not in outcome.err + outcome.out


def left_nothing(path: Path) -> None:
    """Check that nothing of a bay that was not joined is here."""
    found = [] if not path.parent.exists() else [each.name for each in path.parent.iterdir()]
    assert [each for each in found if not each.endswith(".lock")] == []


def asked(database: Database, station: str, path: Path) -> Asked:
    """Return what somebody says who names all that matters."""
    return Asked(
        address=database.address,
        bay=BAY,
        is_new=False,
        station=station,
        hears=frozenset({"waits", "windows"}),
        lanes=frozenset(),
        sets_policy=False,
        path=path,
    )


def _untold(_done: int, _of: int) -> None:
    """Hear how far it is."""


def _pulses(database: Database, station: str) -> Callable[[], None]:
    """Say that `station` is here, again and again, until what is returned is called."""
    ended = threading.Event()

    def go_on() -> None:
        with psycopg.connect(database.administrator, autocommit=True) as connection:
            while not ended.wait(0.05):
                connection.execute(
                    "SELECT pg_notify('readbell_' || id || '_here', %s) FROM readbell.bay",
                    (json.dumps({"station": station}),),
                )

    thread = threading.Thread(target=go_on)
    thread.start()

    def stop() -> None:
        ended.set()
        thread.join()

    return stop
