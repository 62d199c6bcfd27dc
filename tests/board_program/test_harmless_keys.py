"""Letters, digits, Enter and the keys of habit do nothing to anybody's strip."""

from __future__ import annotations

import signal
import string
from typing import TYPE_CHECKING

import pytest

from board_program.conftest import developing
from readbell.core.cartridge.stage import Stage

if TYPE_CHECKING:
    from board_program.bench import Bench
    from board_program.conftest import Place

HABITS = ("ctrl+c", "ctrl+z", "ctrl+p")
RAW = {"ctrl+s": "\x13", "ctrl+d": "\x04", "ctrl+\\": "\x1c", "tab": "\t", "f10": "\x1b[21~"}


def shown_to_read(place: Place) -> Bench:
    """A board on which C01 and C02 are to be read."""
    developing(place, "C01", "C02")
    bench = place.board("--quiet")
    bench.until(lambda: "READ NOW" in bench.row_of("C02"))
    return bench


def rub_out(bench: Bench) -> None:
    """Clear the scan line."""
    bench.press("escape")
    bench.until_seen("Scan a cartridge, a person, a box or a badge")


def test_no_letter_digit_or_enter_does_anything_on_any_page(place: Place) -> None:
    """A scanner types them all, and a glove leans on some."""
    bench = shown_to_read(place)
    before = place.events()
    pages = (
        ((), "closes"),
        (("f5",), "Control line C"),
        (("f9",), "[Lots]"),
        (("f9", "right"), "[Operators]"),
        (("f12",), "Why"),
        (("ctrl+q",), "Leave the board"),
    )
    for keys, words in pages:
        bench.press("home")
        for key in keys:
            bench.press(key)
        bench.until_seen(*([words] if keys else ["[C01]"]))
        for sign in string.ascii_letters + string.digits + " .,;:!-_/":
            bench.give(sign)
        bench.press("enter")
        bench.until(lambda: bench.answer.startswith("no"))
        bench.press("enter")
        bench.press("enter")
        rub_out(bench)
        for _ in range(3):
            bench.press("escape")
        bench.until(lambda: "READ NOW" in bench.row_of("C01"))
    after = place.events()
    kinds = {type(each).__name__ for each in after[len(before) :]}
    assert kinds <= {"ActRefused", "AlertRaised"}
    assert all(place.cartridge(each).stage is Stage.DEVELOPING for each in ("C01", "C02"))
    assert bench.process.poll() is None


def test_keys_of_habit_do_nothing(place: Place) -> None:
    """No interrupt, no stop, no palette, no flow control: timers run on and the board stays."""
    bench = shown_to_read(place)
    for name in HABITS:
        bench.press(name)
    for each in RAW.values():
        bench.give(each)
    bench.send(signal.SIGTSTP)
    bench.until_it_has_settled()
    bench.scan_for("C02", "Control line C", "Test line T")
    assert bench.process.poll() is None
    assert bench.is_raw()
    assert [place.cartridge(each).stage for each in ("C01", "C02")] == [Stage.DEVELOPING] * 2


def test_leaving_is_asked_and_lists_what_runs(place: Place) -> None:
    """Nobody watches a strip once the board is left, so each is named before."""
    bench = shown_to_read(place)
    bench.press_for("ctrl+q", "Leave the board", "2 running", "C01  ", "C02  ")
    bench.press_for("escape", "Work goes on.")
    bench.press_for("ctrl+q", "Leave the board")
    bench.scan_for("C01", "C01")  # a scan is no yes
    bench.until(lambda: "Leave the board" not in bench.picture)
    assert bench.process.poll() is None
    bench.press("escape")
    bench.leave()


@pytest.mark.parametrize("pause", [0.0, 0.004])
def test_a_burst_into_an_open_form_answers_nothing(place: Place, pause: float) -> None:
    """A label may hold anything, keys and all; none of it becomes a band or a result."""
    bench = shown_to_read(place)
    bench.scan_for("C01", "Control line C", "not answered")
    for label in ("\x1b[A\x1b[B\x1b[15~X\r", "12\x1b[15~34567\r", "present\r", "CTRL-POSITIVE\r"):
        bench.give_slowly(label, pause) if pause else bench.give(label)
        bench.until(lambda: bench.answer.startswith("no"))
        assert "Control line C" in bench.picture
    assert place.cartridge("C01").reading is None
    assert "POSITIVE  " not in bench.picture
