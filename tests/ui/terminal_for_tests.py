"""A terminal for tests: a program runs on it, and the test looks at the picture it makes."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import struct
import subprocess
import sys
import termios
import time
from contextlib import suppress
from typing import TYPE_CHECKING

import pyte
import pytest

from patience import PATIENCE_SECONDS

if TYPE_CHECKING:
    import signal
    from collections.abc import Callable, Mapping, Sequence

A_HAND_S_PAUSE = 0.15
"""Seconds; what comes sooner may be part of a scan. A busy machine may use up some of it."""
KEYS = {
    "f1": "\x1bOP", "f2": "\x1bOQ", "f3": "\x1bOR", "f4": "\x1bOS", "f5": "\x1b[15~",
    "f6": "\x1b[17~", "f7": "\x1b[18~", "f8": "\x1b[19~", "f9": "\x1b[20~",
    "f10": "\x1b[21~", "f11": "\x1b[23~", "f12": "\x1b[24~",
    "up": "\x1b[A", "down": "\x1b[B", "right": "\x1b[C", "left": "\x1b[D",
    "pageup": "\x1b[5~", "pagedown": "\x1b[6~", "home": "\x1b[H",
    "escape": "\x1b", "enter": "\r", "ctrl+q": "\x11", "ctrl+c": "\x03", "ctrl+z": "\x1a", "ctrl+p": "\x10",
}  # fmt: skip

# The program gets the terminal as its own, and signals as a shell would leave them.
_LAUNCH = """
import os, signal, sys
for name in ("SIGHUP", "SIGINT", "SIGTERM"):
    signal.signal(getattr(signal, name), signal.SIG_DFL)
os.login_tty(os.dup(0))
os.execv(sys.argv[1], sys.argv[1:])
"""
# Questions and modes that this terminal does not know and would print.
_UNKNOWN = re.compile(rb"\x1b\[[<>=][\d;]*[a-z]|\x1b\[\?[\d;]*\$p")
_KEY = re.compile(rb"\x1b(?:O.|\[[\d;]*.)|.", re.DOTALL)
_KEPT_OF_ENVIRONMENT = ("PATH", "HOME", "LANG", "COVERAGE_PROCESS_START", "COVERAGE_PROCESS_CONFIG")


def now() -> float:
    """Return the running clock: a real process keeps no other time."""
    return time.monotonic()  # noqa: TID251


class Terminal:
    """One program on one terminal.

    Args:
        command: the program, its path first.
        size: columns and rows.
        environment: what it finds beside what every program needs.
    """

    def __init__(
        self,
        command: Sequence[str],
        *,
        size: tuple[int, int] = (80, 24),
        environment: Mapping[str, str] | None = None,
    ) -> None:
        self._screen = pyte.Screen(*size)
        self._stream = pyte.ByteStream(self._screen)
        self.output = bytearray()
        """All that the program wrote."""
        self._unread = b""
        self.master, slave = pty.openpty()
        self._name = os.ttyname(slave)
        self._set_size(*size)
        kept = {name: os.environ[name] for name in _KEPT_OF_ENVIRONMENT if name in os.environ}
        self.process = subprocess.Popen(
            [sys.executable, "-I", "-S", "-c", _LAUNCH, *command],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env={"LC_ALL": "C.UTF-8", "TERM": "xterm-256color", **kept, **(environment or {})},
        )
        os.close(slave)

    @property
    def rows(self) -> list[str]:
        """The picture as text, a row an item, with no blanks at the ends."""
        return [row.rstrip() for row in self._screen.display]

    @property
    def picture(self) -> str:
        """The picture as text."""
        return "\n".join(self.rows)

    def until(self, is_so: Callable[[], bool], patience: float = PATIENCE_SECONDS) -> None:
        """Read on until `is_so`; it is asked whenever the picture may have changed."""
        deadline = now() + patience  # a real process
        while not is_so():
            left = deadline - now()
            if left <= 0:
                pytest.fail(f"not within {patience} s; on the screen:\n{self.picture}")
            self.read(min(left, 0.05))

    def until_seen(self, *words: str, patience: float = PATIENCE_SECONDS) -> None:
        """Read on until each of `words` stands on the screen."""
        self.until(lambda: all(word in self.picture for word in words), patience)

    def unread_until(self, is_so: Callable[[], bool], patience: float = PATIENCE_SECONDS) -> None:
        """Wait until `is_so`, and read nothing meanwhile."""
        deadline = now() + patience
        while not is_so():
            if now() > deadline:
                pytest.fail(f"not within {patience} s, with nothing read")
            time.sleep(0.01)

    def read(self, patience: float = 0.0) -> int:
        """Read what is there, waiting for `patience` at most; return how many bytes."""
        if not select.select([self.master], [], [], patience)[0]:
            return 0
        try:
            data = os.read(self.master, 65536)
        except OSError:
            data = b""  # all who had the other end are gone
        if not data:
            if self.process.poll() is None and patience:
                with suppress(subprocess.TimeoutExpired):
                    self.process.wait(patience)
            return 0
        self.output += data
        # A sequence may be cut by the end of what was read.
        whole, escape, rest = (self._unread + data).rpartition(b"\x1b")
        self._unread = escape + rest if len(rest) < 16 and not _ended(rest) else b""
        known = whole if self._unread else whole + escape + rest
        self._stream.feed(_UNKNOWN.sub(b"", known))
        return len(data)

    def read_all(self) -> None:
        """Read whatever is there, and wait for nothing."""
        while self.read():
            pass

    def give(self, data: bytes | str) -> None:
        """Feed `data` as if somebody had typed it all in one instant."""
        left = data.encode() if isinstance(data, str) else data
        while left:
            left = left[os.write(self.master, left) :]

    def give_slowly(self, data: bytes | str, pause: float) -> None:
        """Feed `data` a key at a time, as a scanner or a hand does.

        A terminal sends the code of a key in one go: half of one would be another key.
        """
        for key in _KEY.findall(data.encode() if isinstance(data, str) else data):
            self.give(key)
            end = now() + pause
            while (left := end - now()) > 0:
                self.read(left)

    def press(self, name: str) -> None:
        """Press one key on purpose: not in the same instant as anything before it.

        The pause begins once the program has taken what came before: one that was held up would
        find both in one instant, as out of a scan.
        """
        self.until_a_hand_may_go_on()
        self.give(KEYS[name])

    def until_a_hand_may_go_on(self) -> None:
        """Wait until the program has taken what came before, and a moment more."""
        deadline = now() + PATIENCE_SECONDS
        while self.has_untaken() and self.process.poll() is None and now() < deadline:
            self.read(0.01)
        end = now() + A_HAND_S_PAUSE
        while (left := end - now()) > 0:
            self.read(left)

    def is_full(self) -> bool:
        """Say whether the terminal takes nothing more until somebody reads it."""
        screen = os.open(self._name, os.O_WRONLY | os.O_NOCTTY | os.O_NONBLOCK)
        try:
            return not select.select([], [screen], [], 0)[1]
        finally:
            os.close(screen)

    def has_untaken(self) -> bool:
        """Say whether keys were given that the program has not read."""
        with suppress(OSError):  # it has ended, and the terminal with it
            keyboard = os.open(self._name, os.O_RDONLY | os.O_NOCTTY | os.O_NONBLOCK)
            try:
                found = fcntl.ioctl(keyboard, termios.FIONREAD, struct.pack("i", 0))
                count: int = struct.unpack("i", found)[0]
                return count > 0
            finally:
                os.close(keyboard)
        return False

    def resize(self, columns: int, rows: int) -> None:
        """Make the window larger or smaller."""
        self._screen.resize(rows, columns)
        self._screen.reset()
        self._set_size(columns, rows)

    def send(self, number: signal.Signals) -> None:
        """Send the program a signal."""
        self.process.send_signal(number)

    def wait(self, patience: float = PATIENCE_SECONDS) -> int:
        """Read on until the program has ended; return its exit code."""
        self.until(lambda: self.process.poll() is not None, patience)
        self.read_all()
        assert self.process.returncode is not None
        return self.process.returncode

    def hang_up(self) -> None:
        """Close the window under the program."""
        os.close(self.master)
        self.master = -1

    def close(self) -> None:
        """End whatever still runs."""
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        if self.master >= 0:
            self.hang_up()

    def is_raw(self) -> bool:
        """Say whether keys come to the program one by one and unseen."""
        return not termios.tcgetattr(self.master)[3] & (termios.ECHO | termios.ICANON)

    def _set_size(self, columns: int, rows: int) -> None:
        fcntl.ioctl(self.master, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))


def _ended(rest: bytes) -> bool:
    return bool(re.match(rb"\[[<>=?]?[\d;]*\$?[A-Za-z]|[^\[\]]", rest))
