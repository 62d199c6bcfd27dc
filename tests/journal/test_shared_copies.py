"""A record goes to a server and back, and is the same; what is broken off leaves nothing."""

from __future__ import annotations

import threading
from contextlib import closing
from typing import TYPE_CHECKING

import psycopg
import pytest

from builders import START, private
from journal.samples import arrivals, chain, day
from patience import PATIENCE_SECONDS
from readbell.core.keeping.events import ErasedScope, RecordErased
from readbell.journal.errors import InUseError, JournalError, LinkLostError
from readbell.journal.lock import JournalLock
from readbell.journal.pin_file import OWNER_ALONE, PinFile, pins_beside
from readbell.journal.postgres import PostgresJournal, bays
from readbell.journal.postgres_address import read_address
from readbell.journal.postgres_news import Hearing
from readbell.journal.record import Head
from readbell.journal.shared_copies import (
    Copied,
    copy_from_server,
    copy_to_server,
    name_in,
)
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.journal.postgres_address import Address
    from readbell.journal.record import Record
    from server import Database
    from wire import Wire

BAY = "Harrow Quay"
PINS = {"key-a": "$argon2id$a", "key-b": "$argon2id$b"}


@pytest.fixture
def address(database: Database) -> Address:
    """Return where the server is."""
    return read_address(database.address)


@pytest.fixture
def records() -> list[Record]:
    """Return a day after which one of its people was erased."""
    records = day()
    erased = RecordErased(
        at=START,
        by="key-op-1",
        scope=ErasedScope.PERSON,
        through=None,
        people=1,
        kept=0,
        keys=("key-P-001",),
        words=private("asked in writing"),
    )
    return [*records, *chain([erased], records[-1].head)]


@pytest.fixture
def file(tmp_path: Path, records: list[Record]) -> Path:
    """Return a journal of one station."""
    path = tmp_path / "bay.journal"
    with closing(SqliteJournal.open(path)) as journal:
        journal.append(records, Head())
    return path


def left_in(folder: Path) -> set[str]:
    """Return the names of the files in `folder`."""
    return {path.name for path in folder.iterdir()}


def test_a_record_goes_to_a_server_and_comes_back_the_same(
    file: Path, address: Address, records: list[Record], tmp_path: Path
) -> None:
    """Each event, each hash, each identifier beside it, and what was erased stays erased."""
    told: list[tuple[int, int]] = []
    there = copy_to_server(file, address, BAY, told=lambda done, of: told.append((done, of)))
    back = copy_from_server(address, BAY, tmp_path / "back.journal")

    end = records[-1].head
    assert there == back == Copied(end, pins=False)
    assert told[-1] == (end.seq, end.seq)
    with closing(SqliteJournal.open(tmp_path / "back.journal", read_only=True)) as journal:
        found = verify(journal)
        assert (found.head, found.erased, found.unexplained) == (end, 1, 0)
        assert found.board.name("key-P-002") == "P-002"
        assert found.board.name("key-P-001") is None
    with closing(PostgresJournal.open(address, BAY)) as journal:
        assert verify(journal).head == end
    assert not [name for name in left_in(tmp_path) if ".part-" in name]


def test_a_long_record_goes_in_stretches(
    file: Path, address: Address, records: list[Record], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Years of it are not held in memory at once."""
    monkeypatch.setattr("readbell.journal.shared_copies.AT_ONCE", 7)
    monkeypatch.setattr("readbell.journal.postgres.AT_ONCE", 5)

    assert copy_to_server(file, address, BAY).head == records[-1].head
    assert copy_from_server(address, BAY, file.with_name("back")).head == records[-1].head


def test_a_copy_to_the_server_that_is_cut_off_leaves_nothing_there(
    file: Path, database: Database, wire: Wire, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Half a record would pass for a bay."""
    monkeypatch.setattr("readbell.journal.shared_copies.AT_ONCE", 5)
    through = read_address(database.through(wire))

    def cut(done: int, _of: int) -> None:
        if done >= 10:
            wire.cut()

    with pytest.raises(LinkLostError):
        copy_to_server(file, through, BAY, told=cut)

    assert bays(read_address(database.address)) == ()


def test_a_copy_from_the_server_that_is_cut_off_leaves_no_file(
    file: Path, database: Database, address: Address, wire: Wire, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nor any part of one."""
    copy_to_server(file, address, BAY)
    monkeypatch.setattr("readbell.journal.postgres.AT_ONCE", 5)
    monkeypatch.setattr("readbell.journal.shared_copies.AT_ONCE", 5)
    target = file.parent / "out" / "back.journal"
    target.parent.mkdir()

    with pytest.raises(LinkLostError):
        copy_from_server(
            read_address(database.through(wire)), BAY, target, told=lambda _done, _of: wire.cut()
        )

    assert left_in(target.parent) == set()


def test_nothing_is_copied_where_something_stands(
    file: Path, address: Address, tmp_path: Path
) -> None:
    """On neither side is anything ever written over."""
    copy_to_server(file, address, BAY)

    with pytest.raises(JournalError, match=r"bay 'Harrow Quay' stands there already, with \d+ ev"):
        copy_to_server(file, address, BAY)
    with pytest.raises(JournalError, match="something stands there already: move it away first"):
        copy_from_server(address, BAY, file)
    with pytest.raises(JournalError, match="there is no bay 'Mill Lane' on it"):
        copy_from_server(address, "Mill Lane", tmp_path / "new")
    with pytest.raises(JournalError, match="there is no journal: check the name"):
        copy_to_server(tmp_path / "none", address, "Mill Lane")


def test_a_bay_in_which_nothing_is_on_record_yet_is_not_copied(
    address: Address, tmp_path: Path
) -> None:
    """An empty file would be taken up as a new bay."""
    PostgresJournal.open(address, BAY, found=True).close()

    with pytest.raises(JournalError, match="yet: there is nothing to copy"):
        copy_from_server(address, BAY, tmp_path / "back")

    assert left_in(tmp_path) == set()


def test_a_journal_that_a_board_is_writing_to_is_not_copied(file: Path, address: Address) -> None:
    """What it records meanwhile would be in one of the two alone."""
    lock = JournalLock(file)
    lock.take()

    with pytest.raises(InUseError):
        copy_to_server(file, address, BAY)

    lock.release()
    assert bays(address) == ()


def test_a_bay_whose_stations_are_running_is_not_copied(
    file: Path, address: Address, tmp_path: Path
) -> None:
    """Once they have left it is."""
    copy_to_server(file, address, BAY)
    with closing(PostgresJournal.open(address, BAY)) as journal:
        number = journal.bay_id
    up = threading.Event()
    station = Hearing(
        address,
        number,
        on_news=lambda _: None,
        on_pulse=lambda _: None,
        on_link=lambda is_up: up.set() if is_up else None,
        counting=lambda: 0,
    )
    station.start()
    assert up.wait(PATIENCE_SECONDS)

    with pytest.raises(InUseError, match="stations of this bay are running: leave them first"):
        copy_from_server(address, BAY, tmp_path / "back")

    station.close()
    assert copy_from_server(address, BAY, tmp_path / "back").head.seq > 0


def test_a_journal_that_is_not_whole_is_not_copied(file: Path, address: Address) -> None:
    """A fault that was copied is a fault that nobody can mend any more."""
    with file.open("r+b") as stored:
        body = file.read_bytes()
        place = body.index(b'"kind":"person-registered"')
        stored.seek(place + 9)
        stored.write(b"P")

    with pytest.raises(JournalError, match="restore a backup"):
        copy_to_server(file, address, BAY)

    assert bays(address) == ()


def test_a_record_that_was_changed_on_the_server_leaves_no_file(
    file: Path, database: Database, address: Address, tmp_path: Path
) -> None:
    """By somebody who took the guards away first."""
    copy_to_server(file, address, BAY)
    with psycopg.connect(database.administrator, autocommit=True) as owner:
        owner.execute(b"ALTER TABLE readbell.event DISABLE TRIGGER USER")
        owner.execute(b"UPDATE readbell.event SET body = replace(body, 'P-', 'Q-') WHERE seq > 9")

    with pytest.raises(JournalError):
        copy_from_server(address, BAY, tmp_path / "back")

    assert "back" not in left_in(tmp_path)
    assert not [name for name in left_in(tmp_path) if ".part-" in name]


def test_an_archive_is_not_gone_on_with_on_a_server(
    address: Address, tmp_path: Path, records: list[Record]
) -> None:
    """It is the copy of a closed period; the bay went on without it."""
    path = tmp_path / "q3.archive"
    with closing(SqliteJournal.open(path)) as journal:
        journal.append(records, Head())
        journal.close_for_ever()

    with pytest.raises(JournalError, match="this is an archive"):
        copy_to_server(path, address, BAY)


def test_pins_go_with_the_record(file: Path, address: Address, tmp_path: Path) -> None:
    """Nobody sets theirs anew because the record moved."""
    PinFile(pins_beside(file)).take(PINS)

    assert copy_to_server(file, address, BAY).pins
    assert copy_from_server(address, BAY, tmp_path / "back").pins

    beside = pins_beside(tmp_path / "back")
    assert PinFile(beside).hashes() == PINS
    assert beside.stat().st_mode & 0o777 == OWNER_ALONE
    assert not [name for name in left_in(tmp_path) if ".part-" in name]


def test_pins_that_the_server_does_not_take_leave_no_record_there(
    file: Path, database: Database, address: Address
) -> None:
    """It would stand in the way of the second try, and nobody could sign in."""
    PinFile(pins_beside(file)).take(PINS)
    with psycopg.connect(database.administrator, autocommit=True) as owner:
        owner.execute(b"ALTER TABLE readbell.pin ADD CONSTRAINT none_fits CHECK (false)")

    with pytest.raises(JournalError):
        copy_to_server(file, address, BAY)

    assert bays(address) == ()
    with psycopg.connect(database.administrator, autocommit=True) as owner:
        owner.execute(b"ALTER TABLE readbell.pin DROP CONSTRAINT none_fits")
    assert copy_to_server(file, address, BAY).pins


def test_a_link_that_is_lost_before_the_pins_leaves_no_record_there(
    file: Path, database: Database, wire: Wire
) -> None:
    """All events arrived by then."""
    PinFile(pins_beside(file)).take(PINS)
    through = read_address(database.through(wire))

    def cut(done: int, of: int) -> None:
        if done == of:
            wire.cut()

    with pytest.raises(LinkLostError):
        copy_to_server(file, through, BAY, told=cut)

    assert bays(read_address(database.address)) == ()
    wire.mend()
    assert copy_to_server(file, through, BAY).pins


def test_pins_that_cannot_be_read_keep_the_record_here(file: Path, address: Address) -> None:
    """What to do about it is said before anything is copied."""
    pins_beside(file).write_text("no PINs")

    with pytest.raises(JournalError, match="this is no file of PINs: restore a backup of it"):
        copy_to_server(file, address, BAY)

    assert bays(address) == ()


def test_pins_at_the_target_are_not_written_over_and_nothing_is_copied(
    file: Path, address: Address, tmp_path: Path
) -> None:
    """They may be those of another bay."""
    PinFile(pins_beside(file)).take(PINS)
    copy_to_server(file, address, BAY)
    target = tmp_path / "out" / "back"
    target.parent.mkdir()
    pins_beside(target).write_text("of another bay")

    with pytest.raises(JournalError, match=r"back\.pins: something stands there already: move it"):
        copy_from_server(address, BAY, target)

    assert left_in(target.parent) == {"back.pins"}
    assert pins_beside(target).read_text() == "of another bay"
    pins_beside(target).unlink()
    assert copy_from_server(address, BAY, target).pins


@pytest.mark.parametrize("in_the_way", ["back", "back.pins"])
def test_what_came_to_stand_at_the_target_meanwhile_is_left_alone(
    file: Path, address: Address, tmp_path: Path, in_the_way: str
) -> None:
    """And of the copy neither record nor PINs stay beside it."""
    PinFile(pins_beside(file)).take(PINS)
    copy_to_server(file, address, BAY)
    folder = tmp_path / "out"
    folder.mkdir()

    def put_there(_done: int, _of: int) -> None:
        folder.joinpath(in_the_way).write_text("another")

    with pytest.raises(JournalError, match="File exists"):
        copy_from_server(address, BAY, folder / "back", told=put_there)

    assert left_in(folder) == {in_the_way}
    assert folder.joinpath(in_the_way).read_text() == "another"


def test_a_bay_is_called_on_the_server_as_it_is_in_its_record(file: Path, tmp_path: Path) -> None:
    """Unless somebody says otherwise."""
    assert name_in(file) == BAY
    with closing(SqliteJournal.open(tmp_path / "empty")) as journal:
        journal.append(arrivals("P-1"), Head())
    with pytest.raises(JournalError, match="no bay was founded in it yet"):
        name_in(tmp_path / "empty")
