"""The journal of a station: what is appended is on the server, and what is read is here."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from journal.contract import JournalContract, plain
from journal.samples import ONE_PAGE, arrivals, chain, day, erasing
from readbell.journal.errors import LINK_LOST, BrokenChainError, ConflictError, LinkLostError
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address
from readbell.journal.record import Head, PrivateRow
from readbell.journal.shared import A_STRETCH, OtherBayError, ServerBehindError, SharedJournal
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from server import Database
    from wire import Wire

BAY = "Harrow Quay"
A_STATEMENT = 200


def server_at(address: str, bay: str = BAY) -> PostgresJournal:
    """Return the record on the server, the bay made where there is none."""
    return PostgresJournal.open(read_address(address), bay, station="bench", found=True)


def station(path: Path, address: str, bay: str = BAY) -> SharedJournal:
    """Return the journal of a station whose mirror is at `path`, linked and up to date."""
    made = SharedJournal(SqliteJournal.open(path))
    made.linked(server_at(address, bay))
    made.pull()
    return made


def arrive(server: PostgresJournal, count: int) -> None:
    """Let so many people arrive, a few at a time: for each statement the server has four seconds."""
    end = Head()
    for first in range(0, count, A_STATEMENT):
        names = map(str, range(first, min(first + A_STATEMENT, count)))
        end = server.append(arrivals(*names, after=end), end)


class TestSharedJournal(JournalContract):
    """A station's journal does all that any journal must."""

    @pytest.fixture
    def journal(self, tmp_path: Path, database: Database) -> Iterator[SharedJournal]:
        """Give an empty one, linked to a real server."""
        with closing(station(tmp_path / "bay.mirror", database.address)) as made:
            yield made


@pytest.fixture
def here(tmp_path: Path, database: Database) -> Iterator[SharedJournal]:
    """Give the journal of a station that has a day on record."""
    with closing(station(tmp_path / "here.mirror", database.address)) as made:
        made.append(day(), Head())
        yield made


@pytest.fixture
def there(here: SharedJournal, tmp_path: Path, database: Database) -> Iterator[SharedJournal]:
    """Give the journal of another station of the same bay, which has come up to date."""
    assert here.is_linked
    with closing(station(tmp_path / "there.mirror", database.address)) as made:
        yield made


def test_a_mirror_alone_is_the_whole_record(
    here: SharedJournal, tmp_path: Path, database: Database
) -> None:
    """With the server gone a board opens from what is here, identifiers included."""
    with closing(server_at(database.address)) as server:
        on_server = verify(server)

    with closing(SqliteJournal.open(tmp_path / "here.mirror", read_only=True)) as mirror:
        in_mirror = verify(mirror)

    assert in_mirror == on_server
    assert in_mirror.head == here.head()


def test_a_station_has_what_another_one_recorded(there: SharedJournal, here: SharedJournal) -> None:
    """Whoever comes later, or was away, finds the whole record, with who people are."""
    end = here.append(arrivals("P-7", after=here.head()), here.head())

    assert there.pull() == 1

    assert there.head() == end
    assert there.private("key-P-7") == PrivateRow(key="key-P-7", salt="salt-P-7", value="P-7")
    assert there.pull() == 0


def test_of_two_that_append_at_once_the_second_has_what_the_first_did(
    here: SharedJournal, there: SharedJournal
) -> None:
    """A conflict is settled by judging anew, so all that is needed for that is brought home."""
    end = there.head()
    first = here.append(arrivals("P-7", after=end), end)

    with pytest.raises(ConflictError):
        there.append(arrivals("P-8", after=end), end)

    assert there.head() == first
    assert there.private("key-P-7") is not None
    assert there.private("key-P-8") is None


def test_pulling_tells_how_far_it_is(tmp_path: Path, database: Database) -> None:
    """A record of years takes a while to come home; somebody waits before a screen."""
    count = 2 * A_STRETCH + 7
    with closing(server_at(database.address)) as server:
        arrive(server, count)
    told: list[tuple[int, int]] = []

    with closing(SharedJournal(SqliteJournal.open(tmp_path / "m"))) as made:
        made.linked(server_at(database.address))
        assert made.pull(lambda done, of: told.append((done, of))) == count

    assert told == [(A_STRETCH, count), (2 * A_STRETCH, count)]


def test_while_the_link_is_lost_nothing_is_appended_and_nothing_waits(
    tmp_path: Path, database: Database, wire: Wire
) -> None:
    """The station goes on beside its record at once: the network is asked no more."""
    with closing(station(tmp_path / "m", database.through(wire))) as made:
        made.append(day(), Head())
        end = made.head()
        wire.cut()

        with pytest.raises(LinkLostError):
            made.append(arrivals("P-7", after=end), end)
        assert made.ailment() == LINK_LOST
        with pytest.raises(LinkLostError):
            made.pull()

        assert made.head() == end
        assert plain(list(made.records())) == plain(day())
        wire.mend()
        with pytest.raises(LinkLostError):  # whoever connects anew does it elsewhere
            made.append(arrivals("P-7", after=end), end)


def test_a_commit_whose_answer_was_lost_comes_home_once(
    tmp_path: Path, database: Database, wire: Wire
) -> None:
    """Stored or not, nobody here knows; when the link is back it stands there, and not twice."""
    with closing(station(tmp_path / "m", database.through(wire))) as made:
        made.append(day(), Head())
        end = made.head()
        records = arrivals("P-7", after=end)
        wire.lose_next_answer()
        with pytest.raises(LinkLostError):
            made.append(records, end)
        assert made.head() == end

        wire.mend()
        made.linked(server_at(database.through(wire)))

        assert made.pull() == 1
        assert made.head() == records[-1].head
        assert verify(made).head == records[-1].head


def test_what_came_home_before_the_link_was_cut_stays(
    tmp_path: Path, database: Database, wire: Wire
) -> None:
    """The next look begins where this one ended, and not at the first event."""
    with closing(server_at(database.address)) as server:
        arrive(server, 2 * A_STRETCH)
    with closing(SharedJournal(SqliteJournal.open(tmp_path / "m"))) as made:
        made.linked(server_at(database.through(wire)))

        def cut(done: int, _of: int) -> None:
            if done == A_STRETCH:
                wire.cut()

        # What was asked for already came; the next question finds nobody.
        with pytest.raises(LinkLostError):
            made.pull(cut)
        came = made.mirror.head()

        assert came.seq >= A_STRETCH
        assert not made.is_linked
        made.linked(server_at(database.address))
        assert made.pull() == 2 * A_STRETCH - came.seq


def test_a_mirror_of_another_bay_is_refused(
    here: SharedJournal, tmp_path: Path, database: Database
) -> None:
    """Two records in one file would be neither; the one that is here stays as it was."""
    end = here.head()
    here.close()
    with closing(SharedJournal(SqliteJournal.open(tmp_path / "here.mirror"))) as made:
        with pytest.raises(OtherBayError):
            made.linked(server_at(database.address, "Otter Lane"))

        assert not made.is_linked
        assert made.head() == end


def test_a_server_that_lost_its_newest_events_is_no_other_bay(
    here: SharedJournal, there: SharedJournal, database: Database, tmp_path: Path
) -> None:
    """It was brought back from an older copy: what is here may be all that there is of the rest."""
    begun = here.head()
    there.close()
    here.append([*arrivals("P-7", after=begun)], begun)
    older = server_at(database.address, "Otter Lane")
    with closing(SqliteJournal.open(tmp_path / "there.mirror")) as kept:
        older.append([*kept.records()], Head())

    with pytest.raises(ServerBehindError, match=rf"up to {begun.seq + 1}: "):
        here.linked(older)

    assert not here.is_linked


def test_what_the_disk_here_does_not_take_is_on_the_server_all_the_same(
    here: SharedJournal, database: Database
) -> None:
    """A full disk of one station stops nobody; what is read is complete, and comes home later."""
    connection = here.mirror._connection
    connection.pragma("max_page_count", 1)
    before = here.head()
    records = arrivals("P-7", "P-8", after=before, padding=ONE_PAGE)

    end = here.append(records, before)

    assert here.head() == end
    assert here.mirror.head() == before
    assert here.mirror_ailment
    assert here.ailment() is None
    assert plain(list(here.records(before.seq))) == plain(records)
    assert here.private(records[0].private[0].key) == records[0].private[0]
    assert verify(here).head == end
    assert not here.keep_snapshot({}, frozenset(), here.erasures())
    with closing(server_at(database.address)) as server:
        assert server.head() == end

    connection.pragma("max_page_count", 1_000_000)
    end = here.append(arrivals("P-9", after=end), end)

    assert here.mirror.head() == end
    assert not here.mirror_ailment
    assert here.keep_snapshot({}, frozenset(), here.erasures())


def test_what_was_erased_elsewhere_is_gone_here(there: SharedJournal, here: SharedJournal) -> None:
    """Somebody asked to be forgotten at one station: no other one keeps who they were."""
    end = here.append(arrivals("P-7", after=here.head()), here.head())
    there.pull()
    assert there.private("key-P-7") is not None
    here.append(chain([erasing("key-P-7")], end), end)

    there.pull()

    for each in (here, there):
        row = each.private("key-P-7")
        assert row is not None
        assert row.value is None
        assert row.salt == ""
        assert each.mirror.private("key-P-7") == row


def test_what_is_erased_is_gone_also_while_the_disk_takes_nothing(here: SharedJournal) -> None:
    """Neither a value in the file nor one that waits in memory is given out again."""
    end = here.append(arrivals("P-7", after=here.head()), here.head())
    here.mirror._connection.pragma("max_page_count", 1)
    end = here.append(arrivals("P-8", after=end, padding=ONE_PAGE), end)
    waiting = next(here.records(end.seq - 1))
    assert waiting.private[0].value is not None

    here.append(chain([erasing("key-P-7", waiting.private[0].key)], end), end)

    for key in ("key-P-7", waiting.private[0].key):
        row = here.private(key)
        assert row is not None
        assert row.value is None
    assert all(each.value is None for each in next(here.records(end.seq - 1)).private)


def test_another_writer_of_the_mirror_is_noticed(here: SharedJournal, tmp_path: Path) -> None:
    """Against the lock: whatever it wrote, this is not the record any more."""
    end = here.head()
    with closing(SqliteJournal.open(tmp_path / "here.mirror")) as other:
        other.append(arrivals("P-6", after=end), end)

    with pytest.raises((BrokenChainError, ConflictError)):
        here.append(arrivals("P-7", after=end), end)


def test_the_offset_of_the_line_goes_with_what_is_appended(
    here: SharedJournal, database: Database
) -> None:
    """Whoever joins later, with nobody here, takes the line up where it stands."""
    here.measured(-1_234)
    here.append(arrivals("P-7", after=here.head()), here.head())

    with closing(server_at(database.address)) as server:
        assert server.last_line_offset() == -1_234


def test_a_new_connection_sends_the_offset_too(here: SharedJournal, database: Database) -> None:
    """It was measured before the link was lost, and holds on."""
    here.measured(77)
    here.cut()
    assert not here.is_linked

    here.linked(server_at(database.address))
    here.append(arrivals("P-7", after=here.head()), here.head())

    assert here.server.last_line_offset() == 77
