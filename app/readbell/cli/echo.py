"""Whether a terminal shows what is typed: not while a PIN is."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import TextIO


def show_typing(stream: TextIO, *, shown: bool) -> None:
    """Have the terminal behind `stream` show what is typed, or not; elsewhere do nothing."""
    if sys.platform == "win32" or not stream.isatty():
        return
    import termios

    try:
        attributes = termios.tcgetattr(stream.fileno())
        local = attributes[3]
        attributes[3] = local | termios.ECHO if shown else local & ~termios.ECHO
        termios.tcsetattr(stream.fileno(), termios.TCSANOW, attributes)
    except (termios.error, OSError):
        return  # it is gone; then nothing is shown on it either
