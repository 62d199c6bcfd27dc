"""Two stations of one bay on a real server, each a real program: cuts, clocks, alarms and deaths."""

from __future__ import annotations

import json
import time
from typing import TYPE_CHECKING

import pytest

from board_program.conftest import LOT, OPERATOR, PERSONS
from readbell.core.board.events import AlertHeard, ClockJumped
from readbell.core.cartridge.events import (
    AlertRaised,
    CartridgeLabelled,
    CartridgeRead,
    ReadingKind,
    StepDone,
)
from readbell.core.people.events import PersonRegistered
from readbell.core.stations.station import StationState
from stations.scene import (
    Computer,
    answer_to,
    computers,
    doubled,
    on_server,
    same_everywhere,
    wait_until,
)

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path
    from typing import Any

    from server import Database
    from torture.processes import Bay
    from wire import Wire

BY = {"by": OPERATOR}


@pytest.fixture
def two(database: Database, wire: Wire) -> Iterator[tuple[Computer, Computer]]:
    """Two computers: the window reaches the server by a wire that can be cut, the bench directly."""
    with computers("window", "bench") as (window, bench):
        window.join(database.through(wire))
        bench.join(database.address)
        window.prepare(persons=PERSONS)
        yield window, bench


def labelling(label: str, person: str = PERSONS[0], lot: str = LOT) -> dict[str, Any]:
    """The line that begins a cartridge."""
    return {"do": "label", "cartridge": label, "person": person, "lot": lot, **BY}


def steps(label: str, *names: str) -> list[dict[str, Any]]:
    """The lines of steps, each by itself."""
    return [{"do": "step", "cartridge": label, "step": each, **BY} for each in names]


def must(bay: Bay, *lines: dict[str, Any]) -> None:
    """Give lines that have to be taken."""
    for each in lines:
        answer = answer_to(bay, **each)
        assert answer["accepted"], answer


def to_well(bay: Bay, label: str, person: str = PERSONS[0], lot: str = LOT) -> None:
    """Take a cartridge to its drops; its wait is a tenth of a second."""
    must(bay, labelling(label, person, lot), *steps(label, "buffer", "collect", "extract"))
    (withdraw,) = steps(label, "withdraw")
    wait_until(lambda: answer_to(bay, **withdraw)["accepted"], "its wait is over")
    must(bay, *steps(label, "apply"))


def until_called(bay: Bay, label: str) -> None:
    """Wait until a station calls for the reading of a strip, unless it has already."""

    def calls(said: dict[str, Any]) -> bool:
        return "READ NOW" in said["says"] and said["says"].startswith(f"{label} ")

    if not any(map(calls, bay.heard)):
        bay.until(calls)


def until_open(bay: Bay, label: str) -> None:
    """Wait until the window of a strip is open by the clock of this very station.

    A reading that says nothing of its test line is asked for that once it would not be too early.
    """
    line = {"do": "read", "cartridge": label, "control": True, **BY}
    wait_until(lambda: answer_to(bay, **line)["refusal"] == "bad-bands", f"{label} is open")


def leave(*bays: Bay) -> None:
    """Let programs end by themselves."""
    for each in bays:
        assert each.leave() == 0


@pytest.mark.parametrize("is_stored", [True, False], ids=["the answer", "the request"])
def test_a_wire_cut_in_the_middle_of_a_commit_leaves_nothing_twice_and_nothing_lost(
    database: Database, wire: Wire, two: tuple[Computer, Computer], is_stored: bool
) -> None:
    """Whether the server has stored it or not, the act was done once and is on record once."""
    window, bench = two
    here, there = window.bay(), bench.bay()
    must(here, labelling("C01"))
    (wire.lose_next_answer if is_stored else wire.lose_next_request)()
    must(here, *steps("C01", "buffer"))  # taken by a station that is alone from here on
    assert wire.lost.is_set()
    must(here, *steps("C01", "collect"))
    wire.mend()
    wait_until(lambda: len(steps_of(bench)) == 2, "what was done alone is in the shared record")
    # A moment later the window is heard again, too: until then its cartridge is its own.
    (last,) = steps("C01", "extract")
    wait_until(lambda: answer_to(there, **last)["accepted"], "the bench goes on with it")
    board = same_everywhere(database, window, bench)
    leave(here, there)
    assert steps_of(window) == ["buffer", "collect", "extract"]
    assert not doubled(window.envelopes())
    assert not board.apart


def steps_of(computer: Computer) -> list[str]:
    """Every step on record, in order."""
    return [each.step for each in computer.events() if isinstance(each, StepDone)]


def test_two_who_read_one_strip_at_one_instant_are_told_apart(
    database: Database, two: tuple[Computer, Computer]
) -> None:
    """One wins, and the other is told who it was and at which station."""
    window, bench = two
    here, there = window.bay(), bench.bay()
    to_well(here, "C01")
    for bay in (here, there):
        until_open(bay, "C01")
    line = {"do": "read", "cartridge": "C01", "control": True, **BY}
    here.say({**line, "test": "absent"})
    there.say({**line, "test": "faint"})
    answers = [bay.until(lambda said: "answer" in said) for bay in (here, there)]
    assert sorted(each["accepted"] for each in answers) == [False, True]
    (refused,) = [each for each in answers if not each["accepted"]]
    assert refused["refusal"] == "already-read"
    assert refused["elsewhere"]["station"] in {"window", "bench"}
    same_everywhere(database, window, bench)
    leave(here, there)
    assert len([each for each in bench.events() if isinstance(each, CartridgeRead)]) == 1


def test_clocks_that_are_40_seconds_apart_change_no_elapsed_time(database: Database) -> None:
    """It comes from the clock of the station at which the drops fell, held against the server's."""
    with computers(slow=-40_000, fast=0) as (slow, fast):
        for each in (slow, fast):
            each.write_assay(opens="0:02", early_from="0:01")
            # So long that this machine may stand still for half a minute, and 40 s would be too much.
            each.write_assay("long", opens="0:35", early_from="0:01")
            said = each.join(database.address, "--json")
            apart = -40_000 if each is slow else 0
            assert json.loads(said)["wall_apart_ms"] == pytest.approx(apart, abs=10_000)
        long = {"assay": "long", **BY}
        slow.prepare(
            {"do": "adopt-assay", "instructions": "v1", **long},
            {"do": "receive-lot", "number": "L-long", "expires": "2099-12-31", **long},
            persons=PERSONS,
        )
        here, there = slow.bay(), fast.bay()
        to_well(here, "C02", PERSONS[1], "L-long")
        began = time.monotonic()  # noqa: TID251  # a real process
        to_well(here, "C01")
        line = {"do": "read", "control": True, "test": "absent", **BY}
        assert answer_to(there, **line, cartridge="C02")["refusal"] == "too-early"
        for bay in (here, there):
            until_called(bay, "C01")
        waited = time.monotonic() - began  # noqa: TID251  # a real process
        assert waited > 1.9
        until_open(there, "C01")
        must(there, {**line, "cartridge": "C01"})
        lasted = time.monotonic() - began  # noqa: TID251  # a real process
        same_everywhere(database, slow, fast)
        leave(here, there)
        events = fast.events()
        read = next(e for e in events if isinstance(e, CartridgeRead))
        drops = next(
            each
            for each in events
            if isinstance(each, StepDone)
            and (each.step, each.cartridge) == ("apply", read.cartridge)
        )
        assert read.kind is ReadingKind.WINDOW
        assert 2000 <= read.at - drops.done.said < 1000 * lasted + 10_000
        assert not [each for each in events if isinstance(each, ClockJumped)]
        told = [e for e in events if isinstance(e, AlertRaised)]
        assert len({(each.cartridge, each.alert, each.step) for each in told}) == len(told)
        boots = {each.stamp.station: each.stamp.boot for each in fast.envelopes()}
        assert boots["slow"] != boots["fast"]


def logged(computer: Computer) -> Path:
    """Have each sound that a computer makes noted in a file of its own; return it."""
    file = computer.folder / "sounds"
    file.touch()
    command = ["/bin/sh", "-c", f"echo >> {file}"]
    computer.write_settings(
        f"bell = false\nheard_seconds = 60\nsound_command = {json.dumps(command)}\n"
    )
    return file


def sounds(file: Path) -> int:
    """How often it has sounded."""
    return len(file.read_text().splitlines())


def test_an_alarm_that_was_heard_at_a_station_that_then_dies_rings_again(
    database: Database,
) -> None:
    """Whoever said that they would see to it is gone: somebody else has to."""
    with computers("window", "bench") as (window, bench):
        heard_here = logged(window)
        for each in (window, bench):
            # Closing from the first: it sounds each five seconds until somebody hears it.
            each.write_assay(opens="0:00.500", closes="20:00", closing_warning="19:59")
            each.join(database.address)
        window.prepare(persons=PERSONS)
        here, there = loud(window), loud(bench)
        to_well(here, "C01")
        wait_until(lambda: sounds(heard_here) >= 1, "it rings")
        must(there, {"do": "hear-alert", "cartridge": "C01", **BY})
        wait_until(
            lambda: any(isinstance(each, AlertHeard) for each in window.events()), "heard here too"
        )
        there.process.kill()
        there.wait()
        before = sounds(heard_here)
        # Away after 7 s without a pulse; the rest would have held for a minute. A sound may have
        # been on its way as it was heard, so the second one counts: five seconds after the first.
        wait_until(lambda: sounds(heard_here) > before + 1, "it rings again")
        leave(here)
        heard = [each for each in window.events() if isinstance(each, AlertHeard)]
        assert [each.station for each in heard] == ["bench"]


def loud(computer: Computer) -> Bay:
    """Start the program with its sound."""
    return computer.bay(quiet=False)


def test_a_station_that_is_killed_is_away_and_its_return_finds_everything(
    database: Database, two: tuple[Computer, Computer]
) -> None:
    """What it had acknowledged stands everywhere; the other goes on meanwhile."""
    window, bench = two
    here, there = window.bay(), bench.bay()
    must(here, labelling("C01"), *steps("C01", "buffer"))
    here.process.kill()
    here.wait()
    must(there, labelling("C02", PERSONS[1]))
    again = window.bay()
    assert "did not end cleanly" in again.heard[0]["says"]
    must(again, *steps("C01", "collect"), *steps("C02", "buffer"))
    board = same_everywhere(database, window, bench)
    assert {each.label for each in board.running.values()} == {"C01", "C02"}
    leave(again, there)
    left, _ = on_server(database)
    assert {each.state for each in left.stations.values()} == {StationState.LEFT}


def test_a_cartridge_of_a_cut_station_is_touched_nowhere_else(
    database: Database, wire: Wire, two: tuple[Computer, Computer]
) -> None:
    """A cartridge started before the cut is read only at the station that holds its clock."""
    window, bench = two
    here, there = window.bay(), bench.bay()
    to_well(here, "C01")
    until_open(here, "C01")
    wire.cut()
    line = {"do": "read", "cartridge": "C01", "control": True, "test": "faint", **BY}
    # The window is away for the others once its pulses have stopped for 7 s.
    there.until(lambda said: "Station window is AWAY" in said["says"])
    refused = answer_to(there, **line)
    assert refused["refusal"] == "held-elsewhere", refused
    must(here, {**line, "test": "absent"})
    wire.mend()
    wait_until(lambda: any(isinstance(each, CartridgeRead) for each in bench.events()), "joined up")
    board = same_everywhere(database, window, bench)
    leave(here, there)
    (ended,) = board.ended.values()
    assert ended.outcome == "negative"
    assert len([each for each in bench.events() if isinstance(each, CartridgeRead)]) == 1


def test_a_person_and_a_label_on_both_sides_of_a_cut_are_joined_up_without_a_loss(
    database: Database, wire: Wire, two: tuple[Computer, Computer]
) -> None:
    """Labels made alone bear the mark of their station; one person is one person."""
    window, bench = two
    here, there = window.bay(), bench.bay()
    wire.cut()
    mark = "A"
    here.until(lambda said: "ALONE" in said["says"])
    assert answer_to(here, **labelling("X99"))["refusal"] == "alone"
    must(here, {"do": "register-person", "id": "P-both", **BY}, labelling(f"{mark}-C01", "P-both"))
    must(there, {"do": "register-person", "id": "P-both", **BY}, labelling("C01", "P-both"))
    wire.mend()
    wait_until(lambda: _labels(bench) == {f"{mark}-C01", "C01"}, "both are in the record")
    board = same_everywhere(database, window, bench)
    leave(here, there)
    both = [each for each in bench.events() if isinstance(each, PersonRegistered)]
    assert sum(each.person.value == "P-both" for each in both) >= 1
    assert len([key for name, key in board.persons.items() if name == "P-both"]) == 1


def _labels(computer: Computer) -> set[str]:
    return {each.label for each in computer.events() if isinstance(each, CartridgeLabelled)}


def test_a_wall_on_a_station_file_follows_the_server(
    database: Database, two: tuple[Computer, Computer]
) -> None:
    """A supervisor's screen needs no program of the bay on its own computer."""
    from readbell.ui.glyphs import UNICODE
    from readbell.ui.large_digits import large

    window, bench = two
    here = window.bay()
    with computers("wall") as (supervisor,):
        supervisor.join(database.address)
        shown = supervisor.start(
            [*supervisor.program, "board", "--wall", "--journal", str(supervisor.journal)]
        )
        shown.until_seen("0 running")
        must(here, labelling("C07"))
        drawn = large("C07", 3, UNICODE)[0].rstrip()
        shown.until(lambda: any(drawn in each for each in shown.rows))
        assert PERSONS[0] not in shown.picture
        database.server.stop("immediate")
        shown.until(lambda: "not followed" in shown.picture.lower() or "link" in shown.picture)
        database.server.start()
        shown.until_seen("1 running")
        shown.press("ctrl+q")
        assert shown.wait() == 0
    leave(here)
    assert on_server(database)[1] == window.head()
    assert bench.name not in {each.stamp.station for each in window.envelopes()}
