"""A terminal that reads at once and notes when: it draws nothing, so nothing is held up by it."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import sys
import termios
from contextlib import suppress
from typing import TYPE_CHECKING, Self

from benchmarks.measure import now

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

PATIENCE = 120.0
"""Seconds for what should take a moment: whole journals are read in them."""
_CODES = re.compile(
    rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[()][0-9A-B]|[^\[\]()])"
)
# The program gets the terminal as its own, and signals as a shell would leave them.
_LAUNCH = """
import fcntl, os, signal, sys, termios
for name in ("SIGHUP", "SIGINT", "SIGTERM"):
    signal.signal(getattr(signal, name), signal.SIG_DFL)
os.setsid()
fcntl.ioctl(0, termios.TIOCSCTTY, 0)
os.execv(sys.argv[1], sys.argv[1:])
"""
_FAILED = b"The board failed"


class TooSlowError(Exception):
    """What was waited for did not come."""


class Terminal:
    """One program on one terminal.

    Args:
        command: the program, its path first.
        environment: all that it finds around it.
        size: columns and rows.
    """

    def __init__(
        self, command: Sequence[str], environment: Mapping[str, str], size: tuple[int, int]
    ) -> None:
        self._command = command
        self._environment = environment
        self._size = size
        self.bytes = 0
        """How many came so far."""
        self.text = b""
        """What came since `forget`, without its control codes."""
        self.kept: list[tuple[float, bytes]] | None = None
        """Set to a list: all that comes, and when."""
        self._cut = b""

    def __enter__(self) -> Self:
        """Start the program."""
        self._master, slave = pty.openpty()
        columns, rows = self._size
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        self.started = now()
        self.process = subprocess.Popen(
            [sys.executable, "-I", "-S", "-c", _LAUNCH, *self._command],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            env=dict(self._environment),
        )
        os.close(slave)
        return self

    def __exit__(self, *_: object) -> None:
        """End the program as a system does that shuts down."""
        self.process.send_signal(signal.SIGCONT)
        self.process.send_signal(signal.SIGTERM)
        ends = now() + PATIENCE
        while self.process.poll() is None and now() < ends:
            self.read(0.05)
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        os.close(self._master)

    def read(self, patience: float) -> float | None:
        """Read what is there, waiting for `patience` at most; return when it came, if anything did."""
        if not select.select([self._master], [], [], max(0.0, patience))[0]:
            return None
        came = now()
        data = b""
        with suppress(OSError):  # the program has closed its end
            data = os.read(self._master, 1 << 18)
        if not data:
            with suppress(subprocess.TimeoutExpired):
                self.process.wait(0.01)
            return None
        self.bytes += len(data)
        if self.kept is not None:
            self.kept.append((came, data))
        # A code may be cut by the end of what was read: it is kept until its rest comes.
        whole, escape, rest = (self._cut + data).rpartition(b"\x1b")
        if escape and len(rest) < 24 and not _CODES.match(escape + rest):
            self._cut = escape + rest
        else:
            whole, self._cut = whole + escape + rest, b""
        self.text += _CODES.sub(b"", whole)
        return came

    def forget(self) -> None:
        """Begin a new `text`."""
        self.text = b""

    def until(self, is_so: Callable[[bytes], bool], patience: float = PATIENCE) -> float:
        """Read until the text satisfies `is_so`; return when what made it so came.

        Raises:
            TooSlowError: it did not come, or the program ended.
        """
        ends = now() + patience
        while True:
            came = self.read(min(0.5, ends - now()))
            if came is not None and is_so(self.text):
                return came
            ended = came is None and self.process.poll() is not None
            if now() > ends or ended or _FAILED in self.text:
                tail = self.text[-2_000:].decode(errors="replace")
                msg = f"it did not come within {patience} s; the program said last: {tail}"
                raise TooSlowError(msg)

    def watch(self, seconds: float) -> None:
        """Read for so long, whatever comes."""
        ends = now() + seconds
        while (left := ends - now()) > 0:
            self.read(left)

    def give(self, data: bytes) -> float:
        """Press keys; return when."""
        at = now()
        os.write(self._master, data)
        return at


def painted(text: bytes) -> bool:
    """Say whether the first picture stands: its scan line is near its end."""
    return b" Scan " in text
