"""Writes to a terminal in a thread of its own, so that nobody waits for one that does not read."""

from __future__ import annotations

import os
import select
import threading
from collections import deque
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

LAST_CHANCE_SECONDS = 1.0
"""For what is still to be written when the board ends."""


class Writer(threading.Thread):
    """Takes text at once and writes it as fast as the terminal takes it.

    Args:
        screen: the descriptor of the terminal.
        failed: hears of a fault in writing; what comes after it is written all the same.
    """

    def __init__(self, screen: int, failed: Callable[[Exception], None]) -> None:
        # A terminal that never reads again must not keep the program from ending.
        super().__init__(name="readbell-picture", daemon=True)
        self._screen = screen
        self._failed = failed
        self._waiting: deque[bytes] = deque()
        self._change = threading.Condition()
        self._writing = self._over = False

    @property
    def behind(self) -> bool:
        """Whether anything is still to be written."""
        with self._change:
            return self._writing or bool(self._waiting)

    def write(self, text: str) -> None:
        """Have `text` written after all that came before it."""
        if text:
            with self._change:
                self._waiting.append(text.encode(errors="replace"))
                self._change.notify()

    def stop(self) -> None:
        """Write the rest, if the terminal takes it soon, and end."""
        with self._change:
            self._over = True
            self._change.notify()
        if self.is_alive():
            self.join(LAST_CHANCE_SECONDS)

    def run(self) -> None:
        """Write until told to stop, or until there is no terminal any more."""
        while True:
            with self._change:
                self._writing = False
                self._change.wait_for(lambda: self._over or self._waiting)
                data = b"".join(self._waiting)
                self._waiting.clear()
                self._writing = bool(data)
            if not data:
                return
            try:
                self._put(data)
            except Exception as error:  # noqa: BLE001  # a picture that no longer changes is worse
                self._failed(error)

    def _put(self, data: bytes) -> None:
        while data:
            try:
                data = data[os.write(self._screen, data) :]
            except BlockingIOError:
                # Another program on this terminal made it so; wait for room.
                select.select([], [self._screen], [], LAST_CHANCE_SECONDS)
            except OSError:
                return  # the terminal is gone, and its keyboard will say so
