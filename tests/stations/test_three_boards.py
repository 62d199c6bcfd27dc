"""Three real boards on three terminals and one server: one swabs, one reads, one supervises."""

from __future__ import annotations

import signal
from typing import TYPE_CHECKING

from board_program.conftest import PERSONS, STEPS
from readbell.core.cartridge.events import CartridgeLabelled, CartridgeRead, StepDone
from readbell.core.reading.interpretation import Outcome
from stations.scene import computers, doubled, same_everywhere

if TYPE_CHECKING:
    from board_program.bench import Bench
    from server import Database
    from stations.scene import Computer


def opened(computer: Computer) -> Bench:
    """Open the board without its sound, so that work does not begin with the alarm."""
    return computer.board("--quiet")


def lies(bench: Bench, label: str) -> bool:
    """Whether a cartridge is in the list; the line of the last answer may begin with it too."""
    row = bench.row_of(label)
    return bool(row) and not row.strip().startswith("ok ")


def swab(bench: Bench, person: str, label: str) -> None:
    """Begin a person: their ID, the label that they get, and all up to the drops."""
    bench.scan_for(person, "Only now: open one pouch")
    bench.scan_for(label, f"ok {label}  labelled")
    for ends in (
        "Swab into the buffer: done",
        "Withdraw the swab: done",
        "Drops onto the well: done",
    ):
        bench.scan_for(label, f"F3 Done {label}")
        bench.press_for("f3", ends)


def is_in_hand(bench: Bench, label: str) -> bool:
    """Scan a strip to be read, and say whether it is in hand.

    A moment after a link is back it may still be taken for another station's own.
    """
    bench.scan(label)
    bench.until(
        lambda: "Control line C" in bench.picture or bench.answer.startswith("no Its clock runs at")
    )
    return "Control line C" in bench.picture


def read(bench: Bench, label: str, person: str) -> None:
    """Read a strip that calls, and see a plain negative."""
    bench.until(lambda: "READ NOW" in bench.row_of(label))
    bench.until(lambda: is_in_hand(bench, label))
    bench.press("up")
    bench.press_for("down", "NEGATIVE")
    bench.scan_for(person, "same person")
    bench.press("f5")
    bench.until(lambda: bench.answer.startswith(f"ok {label}  read: - NEGATIVE"))


def test_a_scenario_at_three_stations_with_the_server_and_one_station_killed_in_the_middle(
    database: Database,
) -> None:
    """The end is the same everywhere, whole, with nothing lost and nothing twice."""
    with computers("window", "reading", "desk") as (window, reading, desk):
        for each in (window, reading, desk):
            each.write_settings("mask_identifiers = false\n")
            each.join(database.address)
        window.prepare(persons=PERSONS)
        swabs, reads, watches = opened(window), opened(reading), opened(desk)

        swab(swabs, PERSONS[0], "C01")
        read(reads, "C01", PERSONS[0])
        for bench in (swabs, watches):
            bench.until(lambda bench=bench: not lies(bench, "C01"))  # type: ignore[misc]

        database.server.stop("immediate")
        swabs.until_seen("ALONE since")
        reads.until_seen("ALONE since")
        swab(swabs, PERSONS[1], "A-C02")
        watches.send(signal.SIGKILL)
        watches.wait()
        database.server.start()
        swabs.until_seen("joined up")
        read(reads, "A-C02", PERSONS[1])
        swabs.until(lambda: not lies(swabs, "A-C02"))

        again = opened(desk)
        again.until_seen("did not end cleanly")
        swab(swabs, PERSONS[2], "C03")
        again.until(lambda: lies(again, "C03"))
        read(reads, "C03", PERSONS[2])
        again.until(lambda: not lies(again, "C03"))

        board = same_everywhere(database, window, reading, desk)
        envelopes = window.envelopes()
        swabs.leave()
        reads.leave()
        again.leave()

    assert not board.running
    assert not board.apart
    assert [each.outcome for each in board.ended.values()] == [Outcome.NEGATIVE] * 3
    assert not doubled(envelopes)
    events = [each.event for each in envelopes]
    labelled = [each.label for each in events if isinstance(each, CartridgeLabelled)]
    assert labelled == ["C01", "A-C02", "C03"]
    steps = [each.step for each in events if isinstance(each, StepDone)]
    assert sorted(steps) == sorted(STEPS * 3)
    assert len([each for each in events if isinstance(each, CartridgeRead)]) == 3
