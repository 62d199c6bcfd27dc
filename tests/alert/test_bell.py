"""The bell rings on the terminal itself, and a terminal that takes nothing holds up nobody."""

from __future__ import annotations

import os
import pty
import signal
import subprocess
import sys
import termios
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from readbell.alert.bell import BELL, TerminalBell

if TYPE_CHECKING:
    from collections.abc import Iterator

APP = Path(__file__).parents[2] / "app"
ON_A_TERMINAL_OF_ITS_OWN = """
import fcntl, os, sys, termios
sys.path.insert(0, sys.argv[1])
os.setsid()
fcntl.ioctl(0, termios.TIOCSCTTY, 0)
from readbell.alert.bell import TerminalBell
bell = TerminalBell.find()
for _ in range(int(sys.argv[2])):
    bell.ring()
print("there" if bell.is_there else "gone")
"""


@pytest.fixture
def terminal() -> Iterator[tuple[int, str]]:
    """A terminal: the end that a person looks at, and the name that programs open."""
    outer, inner = pty.openpty()
    yield outer, os.ttyname(inner)
    os.close(inner)
    os.close(outer)


def test_a_ring_reaches_the_terminal(terminal: tuple[int, str]) -> None:
    """One byte, and nothing that could move a cursor."""
    outer, name = terminal
    bell = TerminalBell.find(name)
    bell.ring()

    assert bell.is_there
    assert os.read(outer, 100) == BELL
    bell.close()


def test_the_bell_is_that_of_the_terminal_the_program_was_started_on() -> None:
    """Whatever its output is sent to: a log file must not swallow the alarm."""
    outer, inner = pty.openpty()
    program = [sys.executable, "-c", ON_A_TERMINAL_OF_ITS_OWN, str(APP), "1"]
    done = subprocess.run(program, stdin=inner, capture_output=True, text=True, check=False)
    os.close(inner)

    assert (done.stdout, done.stderr) == ("there\n", "")
    assert os.read(outer, 100) == BELL
    os.close(outer)


def test_without_a_terminal_there_is_no_bell(tmp_path: Path) -> None:
    """A bay behind a pipe goes on without one."""
    bell = TerminalBell.find(tmp_path / "no terminal")
    bell.ring()
    bell.close()

    assert bell.is_there == (sys.platform == "win32")


def test_a_terminal_that_takes_nothing_holds_up_nobody(terminal: tuple[int, str]) -> None:
    """Its output was stopped or nobody reads it: the bay's thread must not wait for that."""
    outer, name = terminal
    bell = TerminalBell.find(name)
    inner = os.open(name, os.O_RDWR | os.O_NOCTTY)
    termios.tcflow(inner, termios.TCOOFF)
    for _ in range(10_000):
        bell.ring()
    assert bell.is_there
    termios.tcflow(inner, termios.TCOON)
    bell.ring()

    assert os.read(outer, 100).startswith(BELL)
    os.close(inner)
    bell.close()


def test_ringing_makes_no_other_writer_of_the_terminal_impatient(
    terminal: tuple[int, str],
) -> None:
    """Not to wait is the bell's own affair: a screen that never waited would lose parts of itself."""
    _, name = terminal
    screen = os.open(name, os.O_WRONLY | os.O_NOCTTY)
    bell = TerminalBell.find(name)
    bell.ring()

    assert os.get_blocking(screen)
    os.close(screen)
    bell.close()


def test_a_terminal_that_hung_up_is_let_go_of() -> None:
    """The window was shut: from then on there is no bell, and no error each five seconds."""
    outer, inner = pty.openpty()
    bell = TerminalBell.find(os.ttyname(inner))
    os.close(outer)
    bell.ring()
    bell.ring()

    assert not bell.is_there
    os.close(inner)


def test_no_signal_stays_held_back_after_a_ring(terminal: tuple[int, str]) -> None:
    """The thread is the bay's, and a signal held back there for ever would be lost."""
    before = signal.pthread_sigmask(signal.SIG_BLOCK, set())
    bell = TerminalBell.find(terminal[1])
    bell.ring()

    assert signal.pthread_sigmask(signal.SIG_BLOCK, set()) == before
    bell.close()
