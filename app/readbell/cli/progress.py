"""A line on the terminal that says how far long work is; none if it is soon done, or nobody looks."""

from __future__ import annotations

import os
import sys
from contextlib import AbstractContextManager
from typing import TYPE_CHECKING

from readbell.clock.system import SystemClock
from readbell.core.instant import SECOND

if TYPE_CHECKING:
    from types import TracebackType
    from typing import TextIO

WIDE = 30
USUAL = 80
AFTER = 1 * SECOND
"""Work that is done sooner shows no line."""
AGAIN = SECOND // 10


class Progress(AbstractContextManager["Progress"]):
    """Writes over itself, to standard error where nothing else is named, and wipes the line at the end."""

    def __init__(self, output: TextIO | None = None) -> None:
        self._output = output or sys.stderr
        self._shows = self._output.isatty()
        self._clock = SystemClock()
        self._since = self._clock.read().running
        self._last = self._since + AFTER - AGAIN
        self._wide = 0

    def tell(self, what: str, done: int, of: int) -> None:
        """Say that `done` of `of` are done."""
        now = self._clock.read().running
        if not self._shows or now - self._last < AGAIN:
            return
        self._last = now
        full = WIDE * done // max(1, of)
        line = f"{what} {done:,} of {of:,} [{'#' * full}{'.' * (WIDE - full)}]"
        columns = _columns(self._output)
        if len(line) >= columns:
            # A line that is broken by the terminal is not wiped by going back to its start.
            line = f"{what} {done:,} of {of:,}"[: columns - 1]
        self._output.write(f"\r{line.ljust(self._wide)}")
        self._output.flush()
        self._wide = len(line)

    def wipe(self) -> None:
        """Take the line away, before something else is printed; the next word brings it back."""
        if self._wide:
            self._output.write(f"\r{' ' * self._wide}\r")
            self._output.flush()
            self._wide = 0

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Wipe the line."""
        self.wipe()


def _columns(output: TextIO) -> int:
    """Return how wide the terminal is; of one that does not say so, as wide as most are."""
    try:
        return os.get_terminal_size(output.fileno()).columns or USUAL
    except (OSError, ValueError):
        return USUAL
