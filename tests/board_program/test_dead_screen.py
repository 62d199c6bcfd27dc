"""A board that fails must not end the bay: it is shown once more, then the bay goes on in lines."""

from __future__ import annotations

import re
import signal
import sys
from typing import TYPE_CHECKING

import pytest

from board_program.bench import bells_in
from board_program.conftest import PERSONS, dropped, on_bench
from readbell.core.board.events import Ending, ProgramStarted, ProgramStopped
from readbell.core.reading.interpretation import Outcome

if TYPE_CHECKING:
    from board_program.bench import Bench
    from board_program.conftest import Place

FATAL = "X-FATAL"
SECRET = "P-0412 of Quillfeather"  # noqa: S105  # a person, not a password
BREAKABLE = f"""
import sys
from readbell.cli.main import main
from readbell.hand.given import Scanned
from readbell.ui import board_screen

class Breakable(board_screen.BoardScreen):
    broken = False

    def take(self, given):
        if isinstance(given, Scanned) and given.text == {FATAL!r}:
            self.broken = True
        super().take(given)

    def lines(self, width, height):
        if self.broken:
            person = {SECRET!r}
            raise LookupError(person)
        return super().lines(width, height)

board_screen.BoardScreen = Breakable
sys.exit(main(sys.argv[1:]))
"""
"""The program, whose painter fails once a certain label was scanned."""
PROGRAM = (sys.executable, "-c", BREAKABLE)
ENTER, LEAVE = b"\x1b[?1049h", b"\x1b[?1049l"
ON_THE_BOARD = re.compile(rb"\x1b\[\?1049h.*?(?:\x1b\[\?1049l|\Z)", re.DOTALL)


def beside_the_board(bench: Bench) -> str:
    """All that was printed while no board was shown."""
    return ON_THE_BOARD.sub(b"", bytes(bench.output)).decode(errors="replace")


def behind(bench: Bench, words: bytes) -> bytes:
    """All that was written after `words` were."""
    return bytes(bench.output).partition(words)[2]


def break_once(bench: Bench) -> None:
    """Let the painter fail, and wait until the board is back."""
    boards = bench.output.count(ENTER)
    bench.scan(FATAL)
    bench.until(lambda: bench.output.count(ENTER) > boards)
    bench.until_seen(" Scan ")


def break_twice(bench: Bench) -> None:
    """Let it fail once more, and wait for the lines."""
    break_once(bench)
    bench.scan(FATAL)
    bench.until_seen("The board failed twice.", "Ready. .help lists the words.")


def test_a_board_that_fails_is_shown_again_and_nothing_is_lost(place: Place) -> None:
    """A form that was open, a cartridge that was chosen: all of it is where it was."""
    place.prepare(*on_bench("C01"), persons=PERSONS)
    bench = place.board("--quiet", program=PROGRAM)
    bench.scan_for("C01", "[Withdraw the swab]")
    break_once(bench)
    bench.scan_for("C01", "[Withdraw the swab]")
    bench.press_for("f3", "ok C01  Withdraw the swab: done.")
    bench.press_for("ctrl+q", "1 running")
    bench.press("escape")
    bench.leave()
    assert bench.wait() == 0

    beside = beside_the_board(bench)
    assert "The board failed (builtins.LookupError). The bay goes on: alarms ring" in beside
    assert "lines" in beside.split("whoever mends it:")[1]
    (started,) = [e for e in place.events() if isinstance(e, ProgramStarted)][1:]
    assert started.clean


def test_nothing_of_what_was_scanned_is_in_what_a_failed_board_prints(place: Place) -> None:
    """It may stand in the scroll-back of a terminal, or in a log, for years."""
    place.prepare(*on_bench("C01"), persons=PERSONS)
    bench = place.board(program=PROGRAM)
    break_once(bench)
    bench.scan(FATAL)
    bench.until_seen("The board failed twice.")

    beside = beside_the_board(bench).partition("The board failed twice.")[0]
    assert "LookupError" in beside
    for secret in (*PERSONS, FATAL, "Quillfeather", "C01"):
        assert secret not in beside


def test_after_a_second_failure_the_work_is_finished_in_plain_lines(place: Place) -> None:
    """Alerts are printed and ring, what is scanned is taken, and it can be left."""
    place.write_assay(opens="0:05", early_from="0:01")
    place.prepare(*on_bench("C01", "C02"), persons=PERSONS)
    bench = place.board(program=PROGRAM)
    bench.until(lambda: "WAIT OVER" in bench.row_of("C02"))
    break_twice(bench)
    bench.until_seen("C01  P-0412  extracting", "C02  P-0413  extracting")
    assert not bench.is_raw()

    bench.type_line(".help")
    bench.until_seen("A negative does not exclude infection.")
    for line in ("C01", ".done", "C01", ".done"):
        bench.type_line(line)
    bench.until_seen("ok  C01  Drops onto the well: done.")
    bench.until_seen("READ NOW until")
    bench.until(lambda: bells_in(behind(bench, b"Drops onto the well: done.")) > 0)
    bench.type_line("C01")
    bench.until_seen("Reading of C01.")
    for line in (".control present", ".T clear", "P-0412", ".read"):
        bench.type_line(line)
    bench.until_seen("ok  C01  read: + POSITIVE")
    bench.type_line(".leave")
    bench.until_seen("Say .leave again to leave")
    bench.type_line(".leave")
    assert bench.wait() == 0

    assert place.cartridge("C01").outcome is Outcome.POSITIVE
    last = place.events()[-1]
    assert isinstance(last, ProgramStopped)
    assert last.why is Ending.LEFT
    assert place.run("verify").returncode == 0


def test_lines_that_stand_for_a_board_do_not_make_the_alarm_insist(place: Place) -> None:
    """A screen taken for dead rings each five seconds; these lines are alive, and ring by need."""
    place.write_assay(opens="0:04", early_from="0:01")
    place.prepare(*on_bench("C01"), persons=PERSONS)
    place.serve(*dropped("C01"))
    bench = place.board("--ascii", program=PROGRAM)
    break_twice(bench)
    bench.until(lambda: bench.bells > 0)
    bench.until(lambda: falls_silent(bench))


def falls_silent(bench: Bench) -> bool:
    """Say whether nothing rings for seven seconds from now on; what rang before may end in them."""
    rung = bench.bells
    bench.pause(7)
    return bench.bells == rung


@pytest.mark.parametrize("failures", [1, 2])
def test_a_signal_after_a_failure_ends_it_with_a_clean_mark(place: Place, failures: int) -> None:
    """Whatever became of the screen, the bay is laid down as it should be."""
    place.prepare(*on_bench("C01"), persons=PERSONS)
    bench = place.board(program=PROGRAM)
    (break_once if failures == 1 else break_twice)(bench)
    bench.until_seen("C01")
    bench.send(signal.SIGTERM)
    assert bench.wait() == 0

    last = place.events()[-1]
    assert isinstance(last, ProgramStopped)
    assert last.why is Ending.SIGNAL
    assert not bench.is_raw()


def test_an_alarm_rings_while_the_painter_hangs(place: Place) -> None:
    """A screen that stands still delays nothing, and is told of when it is back."""
    place.write_assay(opens="0:02")
    place.prepare(*on_bench("C01"), persons=PERSONS)
    place.serve(*dropped("C01"))
    hangs = BREAKABLE.replace("raise LookupError(person)", "import time; time.sleep(600)")
    bench = place.board(program=(sys.executable, "-c", hangs))
    bench.until(lambda: bench.row_of("C01") != "")
    bench.scan(FATAL)
    bench.until(lambda: bench.bells > 1)  # READ NOW, and then that the screen stands still
    events = place.events()
    assert any(getattr(each, "alert", None) == "read-now" for each in events)
