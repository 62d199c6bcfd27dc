"""`join`: one command makes a computer a station, and each thing that is wrong is one sentence."""

from __future__ import annotations

import json
from contextlib import closing
from typing import TYPE_CHECKING

import pytest

from builders import START
from cli.join_bench import BAY, _untold, asked, founding, record, refused
from readbell.core.stations.events import StationGivenUp, StationJoined, StationLeft
from readbell.core.stations.station import StationState
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address
from readbell.settings import places
from readbell.settings.station_file import mirror_of, read_station_file
from readbell.stations.joining import join, stations_in

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command
    from server import Database


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Give the name of a station file that is not there yet."""
    return tmp_path / "s" / "bay.station"


def test_the_first_station_of_an_empty_server_begins_the_bay(
    command: Command, database: Database, path: Path
) -> None:
    """One command, and the next line says what to type then."""
    done = command("join", database.address, "--bay", BAY, "--station", "window", "--journal", path)

    assert done.status == 0, done.err
    assert "station window of bay Harrow Quay" in done.out
    assert f"readbell board --journal {path}" in done.out
    assert "lamps" not in done.out + done.err
    assert read_station_file(path).address == database.address
    assert mirror_of(path).is_file()


def test_without_a_file_it_is_this_computers_own(command: Command, database: Database) -> None:
    """`readbell board` opens the shared bay from then on."""
    done = command("join", database.address, "--bay", BAY, "--station", "window")

    assert done.status == 0, done.err
    assert done.out.rstrip().endswith("readbell board")
    assert places.default_journal() == places.default_station_file()


def test_the_record_comes_home_and_a_machine_may_read_what_became_of_it(
    command: Command, database: Database, path: Path
) -> None:
    """The whole record is here before the first board is opened, so it opens at once."""
    end = record(database, founding(), StationJoined(at=START, station="window", mark="A"))

    done = command(
        "join",
        database.address,
        "--station",
        "bench",
        "--hears",
        "windows",
        "--lane",
        "north",
        "--lane",
        "south",
        "--sets-policy",
        "--journal",
        path,
        "--json",
    )

    assert done.status == 0, done.err
    said = json.loads(done.out)
    assert said.pop("wall_apart_ms") < 60_000
    assert said == {
        "bay": BAY,
        "station": "bench",
        "mark": None,
        "server": read_address(database.address).told,
        "journal": str(path),
        "events": 2,
        "head": end.hex,
    }
    file = read_station_file(path)
    assert file.hears == {"windows"}
    assert file.lanes == {"north", "south"}
    assert file.sets_policy


def test_a_station_that_joins_again_keeps_its_mark(
    command: Command, database: Database, path: Path
) -> None:
    """Its password changed, or what it hears: labels of it may be on the bench."""
    record(
        database,
        founding(),
        StationJoined(at=START, station="window", mark="A"),
        StationJoined(at=START, station="bench", mark="B"),
    )
    arguments = ("join", database.address, "--journal", path, "--station")
    assert command(*arguments, "tent").status == 0

    again = command(*arguments, "tent", "--hears", "waits")

    assert again.status == 0, again.err
    assert read_station_file(path).mark == "C"
    assert read_station_file(path).hears == {"waits"}


def test_two_that_join_before_a_board_was_opened_are_told_no_mark(
    command: Command, database: Database, path: Path
) -> None:
    """Both would be told the first letter, and one of them is given the next."""
    for station in ("window", "bench"):
        file = path.with_name(f"{station}.station")
        arguments = ("join", database.address, "--bay", BAY, "--station", station)
        done = command(*arguments, "--journal", file)

        assert done.status == 0, done.err
        assert f"is station {station} of bay" in done.out
        assert "mark" not in done.out


def test_a_name_whose_computer_died_may_be_taken_over(
    command: Command, database: Database, path: Path
) -> None:
    """The record has it as here, and nothing is heard of it."""
    record(database, founding(), StationJoined(at=START, station="window", mark="A"))

    found = join(asked(database, "window", path), _untold, pulses_within=0.2)

    assert found.has_mark
    assert read_station_file(path).mark == "A"
    again = command("join", database.address, "--station", "window", "--journal", path)
    assert "station window (mark A) of bay Harrow Quay" in again.out


def test_every_letter_is_taken_at_some_time(
    command: Command, database: Database, path: Path
) -> None:
    """Twenty-six stations at work are more than a bay has room for."""
    joined = [
        StationJoined(at=START, station=f"s{letter}", mark=letter)
        for letter in map(chr, range(ord("A"), ord("Z") + 1))
    ]
    record(database, founding(), *joined)

    refused(
        command("join", database.address, "--station", "one-more", "--journal", path),
        "no letter is left",
    )


def test_stations_are_found_without_the_rest_of_the_record(database: Database) -> None:
    """Who came, who went, and who was given up."""
    record(
        database,
        founding(),
        StationJoined(at=START, station="a", mark="A"),
        StationJoined(at=START, station="b", mark="B"),
        StationJoined(at=START, station="c", mark="C"),
        StationLeft(at=START, station="b"),
        StationGivenUp(at=START, by="key-op", station="c", heir="a"),
    )
    journal = PostgresJournal.open(read_address(database.address), BAY)
    with closing(journal):
        found = stations_in(journal)

    assert {name: each.state for name, each in found.items()} == {
        "a": StationState.HERE,
        "b": StationState.LEFT,
        "c": StationState.GIVEN_UP,
    }


def test_stations_that_join_before_any_board_is_opened_are_promised_no_mark(
    command: Command, database: Database, tmp_path: Path
) -> None:
    """Each would be told the same one."""
    record(database, founding())
    for name in ("window", "bench"):
        path = tmp_path / name / "bay.station"
        done = command("join", database.address, "--station", name, "--journal", path)
        assert done.status == 0, done.err
        assert f"station {name} of bay" in done.out
        assert "mark" not in done.out
