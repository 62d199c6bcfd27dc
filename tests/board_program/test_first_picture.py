"""The first picture of a board waits for nothing that it can do without, and no key for what came later.

A start is short because of what it does not load; nothing here looks at a clock. A file that a
picture comes to need has its place in it; one that only a key, a room or a report needs has not.
"""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING, Any

import pytest

from board_program.conftest import PERSONS, dropped, on_bench
from uncounted import UNCOUNTED

if TYPE_CHECKING:
    from board_program.bench import Bench
    from board_program.conftest import Place

NOTING = """
import json, os, sys, threading
from readbell.cli import board, main
from readbell.ui import board_screen

notes = open(os.environ["NOTES"], "w", encoding="utf-8", buffering=1)

def note(*words):
    notes.write(json.dumps(words) + "\\n")

class Loading:
    def find_spec(self, name, path=None, target=None):
        note("loads", threading.current_thread().name, name)

class Noting(board_screen.BoardScreen):
    seen = False

    def lines(self, width, height):
        found = super().lines(width, height)
        if not Noting.seen:
            Noting.seen = True
            note("picture", sorted(sys.modules))
        return found

def make_ready(make=board.make_ready):
    make()
    note("ready")

sys.meta_path.insert(0, Loading())
board_screen.BoardScreen = Noting
board.make_ready = make_ready
sys.exit(main.main(sys.argv[1:]))
"""
"""The program, which notes what is loaded at its first picture, and by whom something is later."""
PROGRAM = (sys.executable, "-c", NOTING)
FOR_LATER = (
    "argon2",  # hashes a PIN
    "email",  # comes with what reads the particulars of an installed package
    "importlib.metadata",
    "psycopg",
    "pydantic",  # checks what somebody wrote: lines, settings, assays
    "stdnum",  # knows check digits
    "tomllib",
    "readbell.assays",
    "readbell.bay.at_the_desk",  # what each kind of line comes to
    "readbell.bay.joining_up",
    "readbell.cli.line_mode",
    "readbell.core.board.decide",  # the rules: for whoever acts
    "readbell.core.figures.case",
    "readbell.core.figures.tally",
    "readbell.core.plan.answer",  # the planner works in a thread of its own
    "readbell.core.rehearsal",
    "readbell.exports",
    "readbell.forecast",
    "readbell.hand.first_start",
    "readbell.hand.handle",  # what a key does
    "readbell.instruments",
    "readbell.phrases.of_bay",
    "readbell.phrases.refusals",
    "readbell.policy_table",
    "readbell.reports",
    "readbell.scenarios",
    "readbell.settings.settings_table",
    "readbell.solver",
    "readbell.stations",
    "readbell.toml_tables",
    "readbell.ui.detail",
    "readbell.ui.page_body",  # every page but the board
    "readbell.ui.task_panel",
)
OURS_AT_MOST = 330
"""So many files of this program, and it is time to look at what a picture needs of them."""
NEVER_WAIT = ("MainThread", "readbell-bay")
"""The thread that paints, and the one in which alarms fall due."""


class Noted:
    """What a board has noted so far."""

    def __init__(self, place: Place) -> None:
        self._file = place.folder / "notes"
        self.environment = {"NOTES": str(self._file), **UNCOUNTED}

    @property
    def lines(self) -> list[list[Any]]:
        """Every whole line; the next may be half written."""
        text = self._file.read_text("ascii")
        return [json.loads(each) for each in text[: text.rfind("\n") + 1].splitlines()]

    @property
    def at_first_picture(self) -> list[str]:
        """What was loaded when it stood."""
        return next(modules for what, *rest in self.lines if what == "picture" for modules in rest)

    @property
    def is_ready(self) -> bool:
        """Whether what keys need is loaded."""
        return ["ready"] in self.lines

    @property
    def waited_for(self) -> list[str]:
        """What somebody who never waits had to load once all was ready."""
        lines = self.lines
        after = lines[lines.index(["ready"]) :]
        return [f"{who} loads {name}" for _, who, name in after[1:] if who in NEVER_WAIT]


@pytest.fixture
def noted(place: Place) -> Noted:
    """What the board of this place notes."""
    place.prepare(*on_bench("C01", "C02"), persons=PERSONS)
    place.serve(*dropped("C01"))
    return Noted(place)


def is_of(module: str, package: str) -> bool:
    """Whether a module is the package, or stands in it."""
    return module == package or module.startswith(f"{package}.")


def board(place: Place, noted: Noted) -> Bench:
    """The board, painted once."""
    return place.board("--quiet", program=PROGRAM, environment=noted.environment)


def test_the_first_picture_loads_nothing_that_is_for_later(place: Place, noted: Noted) -> None:
    """Half of a start once went into what nobody had asked for yet."""
    bench = board(place, noted)

    loaded = noted.at_first_picture
    assert [each for each in loaded for later in FOR_LATER if is_of(each, later)] == []
    assert "readbell.ui.page" in loaded
    assert "C01" in bench.picture
    assert len([each for each in loaded if is_of(each, "readbell")]) <= OURS_AT_MOST


def test_what_is_for_later_is_there(place: Place, noted: Noted) -> None:
    """A name that is gone would be found at no first picture whatever it loads."""
    bench = board(place, noted)
    bench.until(lambda: noted.is_ready)

    loaded = {name for what, *rest in noted.lines if what == "loads" for name in rest[1:]}
    assert {"pydantic", "readbell.hand.handle", "readbell.bay.at_the_desk"} <= loaded


def test_no_key_has_to_be_waited_for_by_whoever_paints_or_calls(place: Place, noted: Noted) -> None:
    """What was put off is loaded before it is asked for: an alarm must not wait for a file."""
    bench = board(place, noted)
    bench.until(lambda: noted.is_ready)

    bench.scan_for("C02", "[Withdraw the swab]")
    bench.press_for("f3", "ok C02  Withdraw the swab: done.")
    bench.scan_for(PERSONS[2], "Open one pouch")
    bench.press_for("escape", "F9 Rooms")
    bench.press_for("f9", "[")
    bench.until_it_has_settled()
    bench.press_for("ctrl+q", "Leave the board")
    bench.until_it_has_settled()

    assert noted.waited_for == []
