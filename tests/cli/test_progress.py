"""The line that says how far long work is."""

from __future__ import annotations

from io import StringIO
from typing import TYPE_CHECKING

from readbell.cli import progress as progress_of
from readbell.cli.progress import AFTER, Progress
from readbell.clock.system import SystemClock

if TYPE_CHECKING:
    import pytest


class Terminal(StringIO):
    """Somebody looks."""

    def isatty(self) -> bool:
        """It is one."""
        return True


def begun_before(progress: Progress, milliseconds: int) -> None:
    """Let the work have begun so long ago."""
    progress._last = SystemClock().read().running - milliseconds


def test_long_work_says_how_far_it_is_and_leaves_no_trace() -> None:
    """A bar in words and signs, wiped at the end."""
    terminal = Terminal()

    with Progress(terminal) as progress:
        begun_before(progress, AFTER)
        progress.tell("2 operators: runs", 15, 30)
        shown = terminal.getvalue()

    assert shown == f"\r2 operators: runs 15 of 30 [{'#' * 15}{'.' * 15}]"
    assert terminal.getvalue() == f"{shown}\r{' ' * (len(shown) - 1)}\r"


def test_in_a_narrow_terminal_the_line_is_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    """Broken into two it would be left standing, one above the other, ten times a second."""
    monkeypatch.setattr(progress_of, "_columns", lambda _: 20)
    terminal = Terminal()

    with Progress(terminal) as progress:
        for done in (15, 16):
            begun_before(progress, AFTER)
            progress.tell("reading the record", done, 30_000)

    shown = [each for each in terminal.getvalue().split("\r") if each.strip()]
    assert shown == ["reading the record "] * 2


def test_work_that_is_soon_done_says_nothing() -> None:
    """Within a second nobody wonders."""
    terminal = Terminal()

    with Progress(terminal) as progress:
        progress.tell("runs", 1, 2)

    assert terminal.getvalue() == ""


def test_where_nobody_looks_nothing_is_said() -> None:
    """A file is no terminal."""
    file = StringIO()

    with Progress(file) as progress:
        begun_before(progress, 10 * AFTER)
        progress.tell("runs", 1, 2)

    assert file.getvalue() == ""
