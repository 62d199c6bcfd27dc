"""A PIN typed into plain lines does not stand on the terminal."""

from __future__ import annotations

import io
import os
import sys
from typing import TYPE_CHECKING

import pytest

from readbell.cli.echo import show_typing

if TYPE_CHECKING:
    from collections.abc import Iterator
    from typing import TextIO

if sys.platform == "win32":
    pytest.skip("Windows has no such terminals.", allow_module_level=True)

import pty
import termios


@pytest.fixture
def terminal() -> Iterator[TextIO]:
    """The inside of a terminal."""
    outside, inside = pty.openpty()
    with os.fdopen(inside, "r", encoding="utf-8") as stream:
        yield stream
    os.close(outside)


def is_shown(stream: TextIO) -> bool:
    """Whether what is typed there is shown."""
    local: int = termios.tcgetattr(stream.fileno())[3]
    return bool(local & termios.ECHO)


def test_typing_is_hidden_and_shown_again(terminal: TextIO) -> None:
    """Said twice it is the same."""
    for shown in (False, False, True, True):
        show_typing(terminal, shown=shown)
        assert is_shown(terminal) is shown


def test_what_is_no_terminal_is_left_alone() -> None:
    """Lines out of a pipe or a file have nothing to show."""
    show_typing(io.StringIO(), shown=False)


def test_a_terminal_that_is_gone_shows_nothing_anyway() -> None:
    """And ends nothing."""

    class Gone(io.StringIO):
        def isatty(self) -> bool:
            return True

        def fileno(self) -> int:
            outside, inside = pty.openpty()
            os.close(outside)
            os.close(inside)
            return inside

    show_typing(Gone(), shown=False)
