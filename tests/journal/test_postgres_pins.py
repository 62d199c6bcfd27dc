"""PINs of a shared bay are set once for all stations, and can be checked while a station is alone."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

import psycopg
import pytest

from readbell.core.staff.acts import PinCheck
from readbell.journal.pin_file import PinFile, PinFileError
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address
from readbell.journal.postgres_pins import ServerPins

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from server import Database
    from wire import Wire


@pytest.fixture
def bay(database: Database) -> int:
    """Return the number of a bay."""
    address = read_address(database.address)
    with closing(PostgresJournal.open(address, "Harrow Quay", found=True)) as journal:
        return journal.bay_id


@pytest.fixture
def window(database: Database, bay: int, tmp_path: Path) -> Iterator[ServerPins]:
    """Give the PINs as one station has them."""
    beside = PinFile(tmp_path / "window.pins")
    with closing(ServerPins(read_address(database.address), bay, beside)) as pins:
        yield pins


@pytest.fixture
def bench(database: Database, bay: int, wire: Wire, tmp_path: Path) -> Iterator[ServerPins]:
    """Give them as another one has them, by way of a wire that can be cut."""
    beside = PinFile(tmp_path / "bench.pins")
    with closing(ServerPins(read_address(database.through(wire)), bay, beside)) as pins:
        yield pins


def test_a_pin_that_is_set_at_one_station_holds_at_the_other(
    window: ServerPins, bench: ServerPins
) -> None:
    """Nobody sets theirs three times."""
    assert bench.check("key-a", "4071") is PinCheck.NONE_ON_FILE
    window.put("key-a", "4071")
    assert bench.check("key-a", "4071") is PinCheck.RIGHT
    assert bench.check("key-a", "4072") is PinCheck.WRONG
    bench.put("key-a", "55190")
    assert window.check("key-a", "4071") is PinCheck.WRONG
    window.drop("key-a")
    assert bench.check("key-a", "55190") is PinCheck.NONE_ON_FILE


def test_while_the_link_is_lost_people_sign_in_by_the_copy(
    window: ServerPins, bench: ServerPins, wire: Wire
) -> None:
    """Whoever signed in at the other station yesterday may be the one who has to read now."""
    window.put("key-a", "4071")
    bench.refresh()
    wire.cut()

    assert bench.check("key-a", "4071") is PinCheck.RIGHT
    assert bench.check("key-a", "4072") is PinCheck.WRONG
    with pytest.raises(
        PinFileError,
        match=r"^the link to the server is lost: no PIN was changed; do it again once it is back$",
    ):
        bench.put("key-a", "55190")
    assert bench.check("key-a", "4071") is PinCheck.RIGHT


def test_nothing_is_left_on_the_server_of_a_pin_that_was_changed(
    database: Database, window: ServerPins
) -> None:
    """A hash of four digits is found by trying; only the one in use is worth that risk."""
    window.put("key-a", "4071")
    window.put("key-a", "55190")
    window.drop("key-a")

    with psycopg.connect(database.administrator) as owner:
        left = owner.execute(b"SELECT key, hash FROM readbell.pin").fetchall()

    assert left == [("key-a", None)]


@pytest.mark.parametrize(
    "statement",
    ["UPDATE readbell.pin SET hash = 'x'", "DELETE FROM readbell.pin", "TRUNCATE readbell.pin"],
)
def test_the_role_of_the_stations_may_only_add(
    database: Database, window: ServerPins, statement: str
) -> None:
    """As with everything on the server."""
    window.put("key-a", "4071")

    with psycopg.connect(database.address) as somebody, pytest.raises(psycopg.Error) as refused:
        somebody.execute(statement.encode())

    assert refused.value.sqlstate == "42501"
