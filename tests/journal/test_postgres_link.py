"""A server that is down or only to be read, and a wire that is cut: nothing waits, and nothing is there twice."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import psycopg
import pytest

from journal.contract import plain
from journal.on_server import opened
from journal.samples import arrivals, day
from readbell.journal.errors import ConflictError, LinkLostError, NotWrittenError
from readbell.journal.record import Head
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from readbell.journal.postgres import PostgresJournal
    from server import Database
    from wire import Wire


@pytest.mark.parametrize("manner", ["fast", "immediate"])
def test_after_a_restart_of_the_server_the_next_act_is_stored(
    database: Database, on_server: PostgresJournal, manner: str
) -> None:
    """The old connection is dead and does not know it; nobody should be told of that."""
    database.server.restart("fast" if manner == "fast" else "immediate")
    end = on_server.head()

    on_server.append(arrivals("P-9", after=end), end)

    assert verify(on_server).head.seq == len(day()) + 1


def test_while_the_server_is_down_everything_says_so_and_nothing_waits(
    database: Database, on_server: PostgresJournal
) -> None:
    """The station goes on alone, and hears in one word why."""
    end = on_server.head()
    database.server.stop()
    try:
        with pytest.raises(LinkLostError, match=r"^the link to the server is lost$"):
            on_server.append(arrivals("P-9", after=end), end)
        with pytest.raises(LinkLostError):
            on_server.head()
        with pytest.raises(LinkLostError):
            list(on_server.records())
        assert on_server.ailment() == "the link to the server is lost"
    finally:
        database.server.start()

    assert on_server.ailment() is None
    assert on_server.append(arrivals("P-9", after=end), end).seq == end.seq + 1


def test_what_was_stored_though_its_answer_was_lost_is_there_once(
    database: Database, wire: Wire
) -> None:
    """The wire is cut after the commit and before its answer: neither side can know."""
    with closing(opened(database.through(wire))) as journal:
        records = arrivals("P-1", "P-2")
        wire.lose_next_answer()
        with pytest.raises(LinkLostError):
            journal.append(records, Head())
        assert wire.lost.is_set()
        wire.mend()

        assert journal.head() == records[-1].head
        with pytest.raises(ConflictError):
            journal.append(records, Head())
        assert plain(list(journal.records())) == plain(records)
        assert verify(journal).board.persons.keys() == {"P-1", "P-2"}


def test_what_was_cut_off_before_it_arrived_is_not_there(database: Database, wire: Wire) -> None:
    """Then it is simply done again."""
    with closing(opened(database.through(wire))) as journal:
        wire.lose_next_request()
        with pytest.raises(LinkLostError):
            journal.append(arrivals("P-1"), Head())
        wire.mend()

        assert journal.head() == Head()
        assert journal.append(arrivals("P-1"), Head()).seq == 1


def test_a_network_that_says_nothing_is_not_waited_for(
    database: Database, wire: Wire, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A hand at the bench waits for the answer; five seconds are the most, here a fifth."""
    with closing(opened(database.through(wire))) as journal:
        wire.hold()
        with monkeypatch.context() as impatient:
            impatient.setattr("readbell.journal.postgres_link.ANSWER_SECONDS", 0.2)
            with pytest.raises(LinkLostError):
                journal.append(arrivals("P-1"), Head())
        wire.mend()

        # What was held arrives late: stored once, whatever the station did meanwhile.
        assert journal.head().seq in (0, 1)


def test_a_server_that_may_only_be_read_says_so(database: Database) -> None:
    """A standby looks like the server until somebody writes."""
    with closing(opened(database.address)) as journal:
        with psycopg.connect(database.administrator, autocommit=True) as owner:
            name = database.name
            owner.execute(f"ALTER DATABASE {name} SET default_transaction_read_only = on".encode())
        journal.close()

        assert journal.ailment() == "the server may only be read"
        with pytest.raises(NotWrittenError, match="the server may only be read"):
            journal.append(arrivals("P-1"), Head())
