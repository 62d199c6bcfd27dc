"""The wall as a real program on a real terminal, while another one runs the bay."""

from __future__ import annotations

import signal
import sys
from typing import TYPE_CHECKING

import pytest

from board_program.conftest import PERSONS, Place, developing
from readbell.ui.glyphs import UNICODE
from readbell.ui.large_digits import large

if TYPE_CHECKING:
    from pathlib import Path

    from board_program.bench import Bench


def wall(place: Place, *options: str, size: tuple[int, int] = (120, 40)) -> Bench:
    """Start the wall."""
    return place.start([*place.program, *place.board_words, "--wall", *options], size=size)


def is_large(bench: Bench, words: str, rows: int = 3) -> bool:
    """Whether `words` stand there in large letters."""
    first = large(words, rows, UNICODE)[rows // 2].rstrip()
    return any(first in each for each in bench.rows)


def test_it_follows_a_board_and_says_when_its_program_is_gone(place: Place) -> None:
    """What is labelled there appears here; what is read there goes."""
    developing(place, "C01")
    board = place.board()
    shown = wall(place)
    # It says so for a moment if this machine holds it up; and then that it follows.
    shown.until(lambda: is_large(shown, "C01") and "not followed" not in shown.picture.casefold())
    assert not any(each in shown.picture for each in PERSONS)
    board.scan_for(PERSONS[1], "Only now: open one pouch")
    board.scan_for("C02", "ok C02  labelled")
    shown.until(lambda: is_large(shown, "C02"))
    board.send(signal.SIGKILL)
    board.wait()
    shown.until_seen("no program runs this bay", "Since")
    shown.until(lambda: is_large(shown, "C02"))
    assert b"\x07" not in shown.output
    shown.press("ctrl+q")
    assert shown.wait() == 0


def test_no_key_and_no_scan_does_anything_but_leaving(place: Place) -> None:
    """Somebody wipes the keyboard; a scanner hangs on it."""
    developing(place, "C01")
    shown = wall(place, "--ascii", "--light", size=(80, 24))
    shown.until_seen("READ NOW")
    before = place.events()
    shown.scan("C01", PERSONS[0])
    for key in ("f1", "f2", "f3", "f5", "f8", "f12", "escape", "enter", "down", "ctrl+c"):
        shown.press(key)
    shown.pause(1.2)
    assert "READ NOW" in shown.picture
    assert all(ord(sign) < 128 for sign in shown.picture)
    assert place.events() == before
    shown.press("ctrl+q")
    assert shown.wait() == 0


def test_a_signal_ends_it_and_gives_the_terminal_back(place: Place) -> None:
    """A closed session is no fault."""
    developing(place, "C01")
    shown = wall(place)
    shown.until(lambda: is_large(shown, "C01"))
    shown.send(signal.SIGTERM)
    assert shown.wait() == 0
    assert not shown.is_raw()


def test_three_bays_stand_one_under_the_other(place: Place, tmp_path: Path) -> None:
    """One that is gone says so, and the others go on."""
    developing(place, "C01")
    others = []
    for name in ("two", "three"):
        other = Place(tmp_path / name)
        developing(other, "C01")
        others.append(other)
    words = ["board", "--wall", "--journal", *(str(each.journal) for each in (place, *others))]
    shown = place.start([*place.program, *words], size=(120, 60))
    shown.until(lambda: shown.picture.count("no program runs this bay") == 3)
    others[0].journal.unlink()
    shown.until_seen("its file is gone")
    shown.press("ctrl+q")
    assert shown.wait() == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["board", "--wall", "--journal", "nowhere.journal"], "there is no journal"),
        (["board", "--wall", "--plain"], "--wall is drawn and --plain is not"),
        (["board", "--journal", "a", "b"], "A board has one bay"),
    ],
)
def test_what_cannot_be_shown_is_one_sentence(place: Place, words: list[str], said: str) -> None:
    """Exit 2, and nothing is made."""
    bench = place.start([sys.executable, "-m", "readbell", *words])
    assert bench.wait() == 2
    assert said in " ".join(bench.picture.split())
    assert not place.journal.exists()
