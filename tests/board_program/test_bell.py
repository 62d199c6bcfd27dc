"""What reaches the ear from the real program: by need, and by the site's own command too."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING

import pytest

from board_program.bench import A_STROKE_OF_ITS_OWN, bells_in
from board_program.conftest import PERSONS, dropped, on_bench
from ui.terminal_for_tests import now

if TYPE_CHECKING:
    from pathlib import Path

    from board_program.bench import Bench
    from board_program.conftest import Place


CLOSING_AT_ONCE = {"opens": "0:01", "closes": "20:00", "closing_warning": "19:58"}
"""So much time is left that no slow start of a program can use it up."""


STILL = 1.9
"""Seconds: after two the alarm takes the screen for dead, and after ten nobody is at a form any more."""
LONGER_THAN_A_RING = 7.0
"""Seconds; CLOSING rings each five."""


def rung_while_somebody_is_at_it(bench: Bench) -> int | None:
    """Go to the next question and back, on and on; return how often it rang meanwhile.

    None: this machine stood still for so long that nobody was at it, and it may have rung.
    """
    to_and_fro(bench, now())
    rung, begun, before = bench.bells, now(), now()
    while now() - begun < LONGER_THAN_A_RING:
        found = to_and_fro(bench, before)
        if found is None:
            return None
        before = found
    return bench.bells - rung


def to_and_fro(bench: Bench, before: float) -> float | None:
    """Press two keys; return when the second was pressed, or None if one was long in coming.

    Each is held against the instant at which the one `before` it was pressed: what lies between
    is longer than what lay between their being taken.
    """
    is_late = False
    for key, question in (("right", "> Test line T"), ("left", "> Control line C")):
        pressed = now()
        bench.press_for(key, question)
        is_late = is_late or now() - before > STILL
        before = pressed
    return None if is_late else before


def one_developing(place: Place, **figures: str) -> None:
    """Found a bay in which C01 has just had its drops."""
    place.write_assay(**figures)
    place.prepare(*on_bench("C01"), persons=PERSONS)
    place.serve(*dropped("C01"))


@pytest.mark.parametrize(
    ("output", "count"),
    [
        (b"\a", 1),
        (b"\x1b]0;a title\a", 0),
        (b"\x1b]0;a title\a\a", 1),
        (b"\x1b]8;;link\x1b\\\a", 1),
        (b"a\ab\ac", 2),
    ],
)
def test_a_bell_is_told_from_the_end_of_a_title(output: bytes, count: int) -> None:
    """Both are the same byte, and these tests count."""
    assert bells_in(output) == count


def test_closing_rings_each_five_seconds(place: Place) -> None:
    """READ NOW may wait a minute; what is lost in minutes rings on."""
    one_developing(place, **CLOSING_AT_ONCE)
    bench = place.board()
    bench.until_seen("CLOSING")
    bench.until(lambda: bench.bells >= 3)
    assert b"\x1b]" not in bench.output  # no title, no pointer: nothing that ends in a bell


def test_a_cartridge_in_somebody_s_hand_is_silent(place: Place) -> None:
    """Who looks at the strip needs no bell; the sign stays."""
    one_developing(place, **CLOSING_AT_ONCE)
    bench = place.board()
    bench.until_seen("CLOSING")
    bench.until(lambda: bench.bells >= 1)
    bench.scan_for("C01", "Control line C", "CLOSING")
    # Each key says that somebody is still at it: so long as they come.
    tries: list[int] = []

    def was_at_it() -> bool:
        rung = rung_while_somebody_is_at_it(bench)
        if rung is not None:
            tries.append(rung)
        return rung is not None

    bench.until(was_at_it)
    assert tries == [0]


def test_quiet_makes_no_sound_and_says_so(place: Place) -> None:
    """Whoever looks is the alarm, and the board says that it is."""
    one_developing(place, **CLOSING_AT_ONCE)
    bench = place.board("--quiet")
    bench.until_seen("CLOSING")
    bench.press_for("f9", "[Lots]")
    bench.go("Sound")
    bench.until_seen("NO SOUND")
    bench.press("f3")
    bench.until(lambda: bench.answer.startswith("no"))
    bench.press("f9")
    bench.leave()
    assert bench.bells == 0


def command_of(folder: Path, *, fails: bool = False) -> str:
    """Settings with a sound command that notes each of its runs, and what it was told."""
    script = folder / "sound.py"
    script.write_text(
        "import json, os, sys\n"
        f"with open({str(folder / 'runs')!r}, 'a') as file:\n"
        "    told = {k: v for k, v in os.environ.items() if k.startswith('READBELL')}\n"
        "    print(json.dumps([sys.argv[1:], told]), file=file)\n"
        f"sys.exit({int(fails)})\n",
        "utf-8",
    )
    words = json.dumps([sys.executable, str(script), "loud"])
    return f"bell = false\nsound_command = {words}\n"


def runs_in(folder: Path) -> list[list[object]]:
    """Each run of that command."""
    file = folder / "runs"
    text = file.read_text("utf-8") if file.exists() else ""
    return [json.loads(line) for line in text[: text.rfind("\n") + 1].splitlines()]


def test_the_site_s_own_command_is_run_for_each_sound(place: Place) -> None:
    """A lamp or a pager: told what calls and how many, never who."""
    place.write_assay(opens="0:01")
    place.write_settings(command_of(place.folder))
    place.prepare(*on_bench("C01"), persons=PERSONS)
    place.serve(*dropped("C01"))
    bench = place.board()
    bench.until(lambda: bool(runs_in(place.folder)))
    words, told = runs_in(place.folder)[0]
    assert words == ["loud"]
    assert told == {"READBELL_ALERT": "read-now", "READBELL_COUNT": "1"}
    assert bench.bells == 0


def test_a_sound_command_that_fails_is_told_in_the_room_of_sound(place: Place) -> None:
    """It would be missed too late."""
    place.write_settings(command_of(place.folder, fails=True))
    place.prepare(persons=PERSONS)
    bench = place.board(until=("Work begins with the alarm",))
    bench.press("f3")
    bench.until_seen("NO SOUND COMMAND: the sound command failed: it ended with status 1")
    assert len(runs_in(place.folder)) == 1


def test_heard_rests_the_sound_and_keeps_the_sign(place: Place) -> None:
    """The key names whose sound it stops; the mark stays until the act."""
    place.write_assay(opens="0:01", closes="20:00")
    place.prepare(*on_bench("C01"), persons=PERSONS)
    place.serve(*dropped("C01"))
    bench = place.board()
    bench.until_seen("READ NOW", "F8 Heard C01")
    bench.pause(A_STROKE_OF_ITS_OWN)  # right after a new alert the key is deaf
    bench.press("f8")
    bench.until(lambda: bench.answer.startswith("ok C01 heard: read now."))
    assert "READ NOW" in bench.row_of("C01")
    bench.until(lambda: "F8 Heard" not in bench.rows[-1])
