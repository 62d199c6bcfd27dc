"""The whole program ended in every way there is: what ran is found again where it was."""

from __future__ import annotations

import re
import signal
import sys
from typing import TYPE_CHECKING

import pytest

import clocks_ahead
from board_program.conftest import PERSONS, developing, dropped, on_bench
from patience import PATIENCE_SECONDS
from readbell.core.board.events import Ending, ProgramStarted, ProgramStopped
from readbell.core.cartridge.events import CartridgeRead, StepDone
from readbell.core.reading.interpretation import Outcome

if TYPE_CHECKING:
    from board_program.bench import Bench
    from board_program.conftest import Place

DAY = 24 * 3600
A_SECOND = 1.1
"""By so much two rows of one picture may differ: a second may have passed between them."""
LEAVES = b"\x1b[?1049l"


def counts_down_to(bench: Bench, label: str, instant: float) -> bool:
    """Whether the countdown of one row ends at `instant` by the time of day in the top row.

    This bay's zone is UTC.
    """
    left = re.search(r" (\d+):(\d\d)( |$)", bench.row_of(label))
    clock = re.search(r"(\d\d):(\d\d):(\d\d)", bench.rows[0])
    if left is None or clock is None:
        return False  # a part of the picture has yet to come
    now = int(clock[1]) * 3600 + int(clock[2]) * 60 + int(clock[3])
    return abs(int(left[1]) * 60 + int(left[2]) - (instant - now) % DAY) <= A_SECOND


def test_killed_amid_development_it_is_found_again_with_the_right_countdown(place: Place) -> None:
    """The strip goes on developing; so must its figure, whatever happened to the program."""
    place.write_assay(early_from="1:00", opens="10:00")
    place.prepare(*on_bench("C01", "C02", "C03"), persons=PERSONS)
    place.serve(*dropped("C01"))
    bench = place.board()
    bench.until(lambda: "opens in" in bench.row_of("C01"))
    bench.scan_for("C03", "[Withdraw the swab]")  # a form is open when it dies
    bench.send(signal.SIGKILL)
    assert bench.wait() == -signal.SIGKILL

    again = place.board()
    again.until_seen("Back after 0:", "3 running.", "did not end cleanly")
    again.until(lambda: "opens in" in again.row_of("C01"))
    for label in ("C02", "C03"):
        again.until(lambda label=label: "WAIT OVER" in again.row_of(label))  # type: ignore[misc]
    assert "[Withdraw the swab]" not in again.picture
    applied = next(e for e in place.events() if isinstance(e, StepDone) and e.step == "apply")
    opens = place.wall_of(applied) + 600
    again.until(lambda: counts_down_to(again, "C01", opens))

    again.scan_for("C03", "[Withdraw the swab]")
    again.press_for("f3", "ok C03")
    assert place.run("verify").returncode == 0


def test_killed_with_a_reading_half_entered_it_asks_anew(place: Place) -> None:
    """Bands that nobody saved are no reading; what is to be read still calls."""
    developing(place, "C01")
    bench = place.board()
    bench.until(lambda: "READ NOW" in bench.row_of("C01"))
    bench.scan_for("C01", "Control line C")
    bench.press("up")
    bench.press_for("up", "POSITIVE")
    bench.scan_for("P-0412", "same person")
    bench.send(signal.SIGKILL)
    bench.wait()
    assert not [each for each in place.events() if isinstance(each, CartridgeRead)]

    again = place.board()
    again.until_seen("READ NOW", "did not end cleanly")
    again.scan_for("C01", "Control line C", "not answered")
    assert "POSITIVE" not in again.picture
    again.press("up")
    again.press_for("down", "NEGATIVE")
    again.scan_for("P-0412", "same person")
    again.press("f5")
    again.until(lambda: again.answer.startswith("ok C01  read: - NEGATIVE"))
    assert place.cartridge("C01").outcome is Outcome.NEGATIVE


def test_what_lapsed_and_opened_while_it_was_dead_is_told_first(place: Place) -> None:
    """The gravest first, by name, before anybody touches a key."""
    place.write_assay(opens="10:00", early_from="5:00", closes="20:00")
    place.prepare(*on_bench("C01"), persons=PERSONS)
    place.serve(*dropped("C01"))
    bench = place.board(program=clocks_ahead.program(place.folder / "ahead", 3600))
    bench.until_seen("Lapsed meanwhile: C01.")
    bench.until(lambda: "Back after" in bench.answer)


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP", "SIGINT"])
def test_a_signal_ends_it_with_a_clean_mark_and_gives_the_terminal_back(
    place: Place, name: str
) -> None:
    """An update or a closed session is no crash, and whoever has the terminal next can use it."""
    place.prepare(*on_bench("C01"), persons=PERSONS)
    bench = place.board()
    bench.until(lambda: "C01" in bench.row_of("C01"))
    assert bench.is_raw()
    bench.send(signal.Signals[name])
    assert bench.wait() == 0

    assert LEAVES in bench.output
    assert not bench.is_raw()
    assert endings(place) == [Ending.SIGNAL]
    again = place.board()
    again.until_seen("Back after 0:", "1 running.")
    assert "did not end cleanly" not in again.picture


def test_a_window_that_is_closed_ends_it_with_a_clean_mark(place: Place) -> None:
    """Nobody watches any more, and the next start must find no wreck."""
    place.prepare(*on_bench("C01"), persons=PERSONS)
    bench = place.board()
    bench.until(lambda: "C01" in bench.row_of("C01"))
    bench.hang_up()
    assert bench.process.wait(PATIENCE_SECONDS) == 0
    assert endings(place)[0] in (Ending.SIGNAL, Ending.END_OF_INPUT)


def test_the_end_of_its_input_ends_it_with_a_clean_mark(place: Place) -> None:
    """A keyboard that is gone for good can enter nothing; a screen that says so cannot be seen."""
    place.prepare(persons=PERSONS)
    script = """
import os, subprocess, sys
keyboard, far = os.openpty()
done = subprocess.Popen(sys.argv[1:], stdin=far)
os.close(far)
os.read(0, 1)
os.close(keyboard)
sys.exit(done.wait())
"""
    outer = place.start([sys.executable, "-c", script, *place.program, *place.board_words])
    outer.until_seen(" Scan ")
    outer.give("x\r")
    assert outer.wait() == 0
    assert endings(place) == [Ending.END_OF_INPUT]


def test_several_kills_in_a_row_lose_nothing_that_was_acknowledged(place: Place) -> None:
    """Whoever saw `ok` may rely on it, however often the plug is pulled."""
    place.prepare(persons=PERSONS)
    for person, label in zip(PERSONS, ("C01", "C02", "C03"), strict=True):
        bench = place.board()
        bench.scan_for(person, "Only now: open one pouch")
        bench.scan_for(label, f"ok {label}  labelled")
        bench.send(signal.SIGKILL)
        bench.wait()
    assert {each.label for each in place.kept().running.values()} == {"C01", "C02", "C03"}
    starts = [each for each in place.events() if isinstance(each, ProgramStarted)]
    assert [each.clean for each in starts[-2:]] == [False, False]
    assert place.run("verify").returncode == 0


def endings(place: Place) -> list[Ending]:
    """How the program says it ended, since `readbell bay` prepared the journal."""
    events = place.events()
    starts = [n for n, each in enumerate(events) if isinstance(each, ProgramStarted)]
    return [each.why for each in events[starts[-1] :] if isinstance(each, ProgramStopped)]
