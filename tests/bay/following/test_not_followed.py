"""A server that is away, lets nobody in, or has a record that cannot be followed: each is told."""

from __future__ import annotations

import asyncio
from contextlib import closing
from typing import TYPE_CHECKING

import psycopg
import pytest

from bay.following.site import heads, is_linked, label, step, why_refused
from own_clock import OwnClock
from patience import PATIENCE_SECONDS
from readbell.core.board.record_check import RecordState
from readbell.core.refusal import RefusalCode
from readbell.journal.record import Record, link
from readbell.settings.station_file import read_station_file
from readbell.stations.opening import server_of

if TYPE_CHECKING:
    from bay.following.site import Site, Station
    from server import Database
    from wire import Wire


async def test_while_the_server_is_away_a_station_opens_as_it_was(
    site: Site, window: Station, database: Database, wire: Wire
) -> None:
    """The board stands on what this computer has, and is in step once the link is back."""
    bench = await site.open("bench", OwnClock(boot="b"), address=database.through(wire))
    await window.must(label())
    await bench.until(lambda each: "C1" in each.board.labels)
    line = bench.bay.now()
    await site.close("bench")
    wire.cut()

    alone = await site.open("bench", OwnClock(boot="b"))

    around = alone.bay.present().around
    assert around is not None
    assert around.alone is not None
    assert "C1" in alone.board.labels
    assert 0 <= alone.bay.now() - line <= PATIENCE_SECONDS * 1_000
    await window.must(label("C2", "P-002"))
    wire.mend()
    await alone.until(lambda each: "C2" in each.board.labels)
    await alone.until(is_linked)
    await window.until(lambda each: heads(each, alone) == heads(each))


TOO_MUCH = (
    b"GRANT UPDATE ON readbell.event TO bay_app",
    b"REVOKE UPDATE ON readbell.event FROM bay_app",
    "has UPDATE on readbell.event, which is too much",
)
NEWER = (
    b"INSERT INTO readbell.schema_version VALUES (99)",
    b"DELETE FROM readbell.schema_version WHERE version = 99",
    "newer",
)
PASSWORD = (
    b"ALTER ROLE bay_app PASSWORD 'another'",
    b"ALTER ROLE bay_app PASSWORD 'seven small lamps'",
    "the server does not take this password: put the right one into ~/.pgpass",
)


@pytest.mark.parametrize(("change", "undo", "told"), [TOO_MUCH, NEWER, PASSWORD])
async def test_why_a_link_does_not_come_back_is_said_until_it_is_put_right(
    window: Station, database: Database, change: bytes, undo: bytes, told: str
) -> None:
    """That nobody answers may pass by itself; this does not, and somebody has to see to it."""
    with psycopg.connect(database.administrator, autocommit=True) as owner:
        owner.execute(change)
        try:
            owner.execute(
                b"SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
                b"WHERE usename = 'bay_app' AND datname = current_database()"
            )
            await window.until(lambda each: told in why_refused(each))
            assert "lamps" not in why_refused(window)
        finally:
            owner.execute(undo)

    await window.until(lambda each: is_linked(each) and not why_refused(each))


async def test_a_record_that_was_changed_on_the_server_is_told_and_not_taken(
    window: Station, bench: Station, database: Database
) -> None:
    """Whoever owns the tables can do anything to them; no station passes it on unseen."""
    before, before_there = bench.board, window.board
    with psycopg.connect(database.administrator, autocommit=True) as owner:
        owner.execute(b"ALTER TABLE readbell.event DISABLE TRIGGER USER")
        owner.execute(
            b"INSERT INTO readbell.event (bay, seq, id, body, hash, station) "
            b"SELECT bay, max(seq) + 1, 'x', '{}', sha256('x'), 'x' FROM readbell.event GROUP BY bay"
        )
        owner.execute(
            b"SELECT pg_notify('readbell_' || bay, max(seq)::text) FROM readbell.event GROUP BY bay"
        )

    await bench.until(lambda each: each.bay.present().record_check.state is RecordState.BROKEN)

    assert bench.board.labels == before.labels
    assert window.board.labels == before_there.labels


async def add_of_a_newer_program(station: Station) -> None:
    """Have a station of a newer program record what nobody here knows."""
    server = await asyncio.to_thread(server_of, read_station_file(station.path))
    with closing(server):
        end = server.head()
        body = '{"id":"later","kind":"seen-in-a-dream"}'
        record = Record(seq=end.seq + 1, body=body, hash=link(end.hash, body))
        server.append([record], end)


NEWER_WROTE = "a newer readbell wrote it, use that one"


async def test_what_a_newer_program_wrote_stops_no_alarm_here(
    window: Station, bench: Station
) -> None:
    """One station was renewed before the others: these go on alone, and say why until they end."""
    await window.must(label())
    await bench.must(label("C2", "P-002"))
    await window.until(lambda each: "C2" in each.board.labels)
    await add_of_a_newer_program(window)

    for each in (window, bench):
        await each.until(lambda station: NEWER_WROTE in why_refused(station))
        await each.bay.link_changed()  # each look after it finds the same
        assert NEWER_WROTE in why_refused(each)
    await bench.must(step("buffer", "C2"))
    refused = await bench.bay.enter(step("buffer"))
    assert refused.refusal is not None, "what runs at the other one may have been gone on with"
    assert refused.refusal.code is RefusalCode.HELD_ELSEWHERE
    assert not is_linked(bench)


async def test_what_a_newer_program_wrote_meanwhile_is_told_once_the_link_is_back(
    site: Site, window: Station, database: Database, wire: Wire
) -> None:
    """What was done alone waits for the newer program, and nobody waits for it to be joined up."""
    bench = await site.open("bench", OwnClock(boot="b"), address=database.through(wire))
    await bench.must(label("C2", "P-002"))
    await window.until(lambda each: "C2" in each.board.labels)
    wire.cut()
    await bench.until(lambda each: not is_linked(each))
    await bench.must(step("buffer", "C2"))
    await add_of_a_newer_program(window)
    wire.mend()

    await bench.until(lambda each: NEWER_WROTE in why_refused(each))
    around = bench.bay.present().around
    assert around is not None
    assert around.alone is not None
    assert not around.alone.is_joining
