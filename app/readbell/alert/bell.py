"""The bell of the terminal, rung past everything that is drawn on it.

The terminal is opened once more, for the bell alone and never waiting: a screen
that hangs on a slow line, or a terminal that was stopped, holds up its own
output and not the bay.
"""

from __future__ import annotations

import contextlib
import os
import signal
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

BELL = b"\a"


class TerminalBell:
    """Rings on one terminal until that has gone."""

    def __init__(self, terminal: int | None) -> None:
        self._terminal = terminal

    @classmethod
    def find(cls, terminal: Path | str = "/dev/tty") -> TerminalBell:
        """Return the bell of the terminal that this program was started on, if there is one."""
        if sys.platform == "win32":
            return cls(None)
        try:
            return cls(os.open(terminal, os.O_WRONLY | os.O_NONBLOCK | os.O_NOCTTY | os.O_CLOEXEC))
        except OSError:
            return cls(None)

    @property
    def is_there(self) -> bool:
        """Whether a ring reaches anything."""
        return self._terminal is not None or sys.platform == "win32"

    def ring(self) -> None:
        """Ring once. A terminal that takes nothing just now misses it; the next is not far."""
        if sys.platform == "win32":
            import winsound

            with contextlib.suppress(RuntimeError):
                winsound.MessageBeep(winsound.MB_ICONHAND)
            return
        if self._terminal is None:
            return
        try:
            with _never_stopped():
                os.write(self._terminal, BELL)
        except BlockingIOError:
            pass
        except OSError:
            self.close()  # hung up: no ring will ever reach it again

    def close(self) -> None:
        """Let go of the terminal."""
        if self._terminal is not None:
            os.close(self._terminal)
            self._terminal = None


@contextlib.contextmanager
def _never_stopped() -> Iterator[None]:
    """Let a terminal that stops what writes to it from the background not stop the bay."""
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGTTOU})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
