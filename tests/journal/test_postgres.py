"""The journal of a shared bay, on a real server: all that a journal must do, and several who write in it."""

from __future__ import annotations

import threading
from contextlib import closing
from typing import TYPE_CHECKING

import psycopg
import pytest

from journal.contract import JournalContract, plain
from journal.on_server import BAY, opened
from journal.samples import arrivals, chain, day, erasing
from readbell.journal.errors import ConflictError, JournalError
from readbell.journal.postgres import PostgresJournal, bays
from readbell.journal.postgres_address import read_address
from readbell.journal.record import Head, PrivateRow
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from collections.abc import Iterator

    from server import Database


class TestJournalOnServer(JournalContract):
    """What holds for a file must hold for a server."""

    @pytest.fixture
    def journal(self, database: Database) -> Iterator[PostgresJournal]:
        """Give an empty journal on a server."""
        with closing(opened(database.address)) as journal:
            yield journal


def test_an_erasing_empties_what_it_names_in_the_moment_it_is_stored(
    database: Database, on_server: PostgresJournal
) -> None:
    """The one is never there without the other, by whatever statement it comes in."""
    end = on_server.head()

    on_server.append(chain([erasing("key-P-001")], end), end)

    assert on_server.private("key-P-001") == PrivateRow(key="key-P-001", salt="", value=None)
    other = on_server.private("key-P-002")
    assert other is not None
    assert other.value == "P-002"
    found = verify(on_server)
    assert (found.erased, found.unexplained) == (1, 0)
    with psycopg.connect(database.administrator) as owner:
        left = owner.execute(b"SELECT count(*) FROM readbell.private WHERE value = 'P-001'")
        assert left.fetchone() == (0,)


def test_an_erasing_in_another_bay_leaves_this_one_alone(
    database: Database, on_server: PostgresJournal
) -> None:
    """Keys are made up at random, and still no act may reach into another record."""
    with closing(opened(database.address, "Mill Lane")) as other:
        other.append(chain([erasing("key-P-001")]), Head())

    assert verify(on_server).erased == 0


def test_an_erasing_that_conflicts_erases_nothing(on_server: PostgresJournal) -> None:
    """It would be on record nowhere."""
    with pytest.raises(ConflictError):
        on_server.append(chain([erasing("key-P-001")]), Head())

    assert verify(on_server).erased == 0


def test_several_who_append_at_once_make_one_record_without_gaps(database: Database) -> None:
    """Each decides again on what the others stored, and has its say in the end."""
    stations, each = 4, 12
    begin = threading.Barrier(stations)
    conflicts = []

    def work(station: int) -> None:
        with closing(opened(database.address)) as mine:
            begin.wait()
            for number in range(each):
                while True:
                    end = mine.head()
                    try:
                        mine.append(arrivals(f"P-{station}-{number}", after=end), end)
                    except ConflictError:
                        conflicts.append(station)
                    else:
                        break

    threads = [threading.Thread(target=work, args=(station,)) for station in range(stations)]
    with closing(opened(database.address)) as journal:
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        found = verify(journal)

    assert found.head.seq == stations * each
    assert len(found.board.persons) == stations * each


def test_each_event_comes_with_what_it_brought(on_server: PostgresJournal) -> None:
    """A mirror is filled from it, and must hold all that the server does."""
    assert list(on_server.newer()) == day()
    assert list(on_server.newer(3)) == day()[3:]
    assert plain(list(on_server.newer(len(day())))) == []


def test_what_is_said_of_the_writers_clock_is_kept(on_server: PostgresJournal) -> None:
    """The time line of the bay goes on from it when nobody is there to ask."""
    assert on_server.last_line_offset() is None
    on_server.line_offset = -86_400_123
    end = on_server.head()

    on_server.append(arrivals("P-9", after=end), end)

    assert on_server.last_line_offset() == -86_400_123


def test_bays_on_one_server_are_told_apart(database: Database, on_server: PostgresJournal) -> None:
    """The same keys and ids may stand in each."""
    with closing(opened(database.address, "Mill Lane")) as other:
        other.append(day(), Head())
        assert other.bay_id != on_server.bay_id
    assert bays(read_address(database.address)) == (BAY, "Mill Lane")


def test_a_bay_is_made_once(database: Database, on_server: PostgresJournal) -> None:
    """Two stations that are switched on together must end up in one record."""
    with closing(opened(database.address)) as again:
        assert again.bay_id == on_server.bay_id
        assert again.head() == on_server.head()


def test_a_bay_that_is_not_there_is_named_with_those_that_are(
    database: Database, on_server: PostgresJournal
) -> None:
    """A slip in the name must not found another bay."""
    with pytest.raises(
        JournalError, match=r"there is no bay 'Harow Quay' on it: there is 'Harrow Quay'$"
    ):
        opened(database.address, "Harow Quay", found=False)
    assert on_server.head().seq > 0
