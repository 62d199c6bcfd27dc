"""What a server lets nobody do to a record, by whatever statement they try."""

from __future__ import annotations

from typing import TYPE_CHECKING

import psycopg
import pytest

from journal.samples import arrivals, chain, day, erasing
from readbell.journal.errors import BrokenChainError, ConflictError, NotWrittenError
from readbell.journal.record import Head, Record
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from readbell.journal.postgres import PostgresJournal
    from server import Database

CHANGES = [
    pytest.param("UPDATE readbell.event SET body = '{}' WHERE seq = 1", id="body changed"),
    pytest.param("UPDATE readbell.event SET hash = '\\x00' WHERE seq = 1", id="hash changed"),
    pytest.param("UPDATE readbell.event SET seq = 99 WHERE seq = 1", id="number changed"),
    pytest.param("UPDATE readbell.event SET body = '{}' WHERE false", id="nothing changed"),
    pytest.param("DELETE FROM readbell.event WHERE seq = 1", id="deleted"),
    pytest.param("TRUNCATE readbell.event", id="all taken away"),
    pytest.param(
        "INSERT INTO readbell.event (bay, seq, id, body, hash, station) "
        "SELECT bay, seq, id, '{}', hash, station FROM readbell.event WHERE seq = 1 "
        "ON CONFLICT (bay, seq) DO UPDATE SET body = '{}'",
        id="put over",
    ),
    pytest.param("UPDATE readbell.private SET value = 'P-9'", id="identifier changed"),
    pytest.param("UPDATE readbell.private SET value = NULL", id="identifier emptied"),
    pytest.param("UPDATE readbell.private SET key = 'k' WHERE seq = 3", id="key changed"),
    pytest.param("DELETE FROM readbell.private", id="identifier deleted"),
    pytest.param("TRUNCATE readbell.private", id="all identifiers taken away"),
    pytest.param("UPDATE readbell.bay SET name = 'Mill Lane'", id="bay renamed"),
    pytest.param("DELETE FROM readbell.bay", id="bay deleted"),
]


def test_whoever_puts_functions_of_their_own_in_the_way_gets_past_no_guard(
    database: Database, on_server: PostgresJournal
) -> None:
    """Up to PostgreSQL 14 every role may make functions in the schema `public`."""
    end = on_server.head()
    with psycopg.connect(database.administrator) as owner:
        owner.execute(b"GRANT CREATE ON SCHEMA public TO PUBLIC")
    with psycopg.connect(database.address) as somebody:
        somebody.execute(
            b"CREATE FUNCTION public.sha256(bytea) RETURNS bytea LANGUAGE sql AS"
            b" $$ SELECT '\\x00'::bytea $$"
        )
        somebody.execute(b"SET search_path = public, pg_catalog")
        with pytest.raises(psycopg.Error) as refused:
            somebody.execute(
                b"INSERT INTO readbell.event (bay, seq, id, body, hash, station)"
                b" VALUES (%s, %s, 'x', '{}', '\\x00', '')",
                (on_server.bay_id, end.seq + 1),
            )

    assert refused.value.sqlstate == "RB002"
    assert verify(on_server).head == end


@pytest.mark.parametrize("statement", CHANGES)
def test_the_role_of_the_program_may_change_nothing(
    database: Database, on_server: PostgresJournal, statement: str
) -> None:
    """Whoever gets hold of a station's password must not be able to rewrite the record."""
    with psycopg.connect(database.address) as somebody, pytest.raises(psycopg.Error) as refused:
        somebody.execute(statement.encode())

    assert refused.value.sqlstate == "42501"
    assert verify(on_server).head == day()[-1].head


@pytest.mark.parametrize("statement", CHANGES)
def test_whoever_owns_the_tables_changes_nothing_by_a_slip(
    database: Database, on_server: PostgresJournal, statement: str
) -> None:
    """A privilege does not bind an owner; a trigger does."""
    with psycopg.connect(database.administrator) as owner, pytest.raises(psycopg.Error) as refused:
        owner.execute(statement.encode())

    assert refused.value.sqlstate in ("RB002", "RB003", "0A000")  # the last: rows refer to it
    assert verify(on_server).head == day()[-1].head


def test_an_event_that_does_not_follow_is_refused_by_the_server_itself(
    database: Database, on_server: PostgresJournal
) -> None:
    """A program with a fault in it must not be able to break the chain for all."""
    (right,) = arrivals("P-9", after=on_server.head())
    wrong = Record(seq=right.seq, body=right.body.replace("key-P-9", "key-P-8"), hash=right.hash)

    with pytest.raises(BrokenChainError, match=rf"^event {right.seq}: it does not follow"):
        on_server.append([wrong], on_server.head())

    with psycopg.connect(database.address) as somebody, pytest.raises(psycopg.Error) as refused:
        somebody.execute(
            "INSERT INTO readbell.event (bay, seq, id, body, hash, station)"
            " VALUES (%s, %s, 'x', %s, %s, '')",
            (on_server.bay_id, wrong.seq, wrong.body, wrong.hash),
        )
    assert refused.value.sqlstate == "RB002"
    assert verify(on_server).head == day()[-1].head


@pytest.mark.parametrize("seq", [1, 5, 99])
def test_no_number_is_left_out_or_given_twice(
    database: Database, on_server: PostgresJournal, seq: int
) -> None:
    """Whatever statement it is inserted by."""
    with psycopg.connect(database.address) as somebody, pytest.raises(psycopg.Error) as refused:
        somebody.execute(
            "INSERT INTO readbell.event (bay, seq, id, body, hash, station)"
            " VALUES (%s, %s, 'x', '{}', '', '')",
            (on_server.bay_id, seq),
        )

    assert refused.value.sqlstate == "RB001"


def test_the_same_event_cannot_stand_twice_under_two_numbers(on_server: PostgresJournal) -> None:
    """Sent again after an answer was lost, it would be an act done twice."""
    end = on_server.head()
    (again,) = chain([erasing()], end)
    twice = Record(seq=again.seq, body=day()[3].body, hash=b"")

    with pytest.raises((ConflictError, BrokenChainError)):
        on_server.append([twice], end)

    assert on_server.head() == end


def test_no_error_and_no_log_names_anybody(database: Database, on_server: PostgresJournal) -> None:
    """A log is read by people who may not know who was tested, and kept for years."""
    name = "Tamsin Oakapple"
    database.server.set(log_statement="all", log_min_duration_statement="0")
    on_server.close()  # the next question is asked by the new rules
    try:
        end = on_server.append(arrivals(name, after=on_server.head()), on_server.head())
        with pytest.raises(NotWrittenError) as refused:
            on_server.append(arrivals(name, after=end), end)
        with pytest.raises(ConflictError) as passed:
            on_server.append(arrivals(name), Head())
        on_server.private(f"key-{name}")
    finally:
        database.server.set(log_statement="none", log_min_duration_statement="-1")

    log = database.server.log
    assert "readbell.append" in log
    for text in (log, str(refused.value), str(passed.value)):
        assert name not in text
        assert name.encode().hex() not in text  # as the server writes bytes
