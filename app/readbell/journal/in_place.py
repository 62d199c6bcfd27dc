"""Whether a journal's files are still the ones that were opened, and have lost nothing.

SQLite goes on writing into a file that was renamed, deleted or cut under it, and
nothing of that is there after a restart. So somebody has to look, before each append.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path


class LogMovedError(OSError):
    """The write-ahead log is no longer where the next start would look for it."""


class LogCutError(OSError):
    """Something was cut off the write-ahead log: it must not be copied into the journal."""


def log_of(journal: Path) -> Path:
    """Return where the write-ahead log of `journal` stands."""
    return journal.with_name(f"{journal.name}-wal")


class InPlace:
    """A journal and its log as they were last seen. Neither ever gets shorter while in use."""

    def __init__(self, journal: Path) -> None:
        self._journal, self._log = str(journal), str(log_of(journal))
        self._place = _place(_look(self._journal))
        self._bytes = 0
        self._log_place: tuple[int, int] | None = None
        self._log_bytes = 0
        self.note()

    def note(self) -> None:
        """Note how long both are, after something was added; what is gone is found by the next check."""
        try:
            self._bytes = _look(self._journal).st_size
            log = _look(self._log)
        except OSError:
            return
        if self._log_place is None:
            self._log_place = _place(log)
        if self._log_place == _place(log):
            self._log_bytes = log.st_size

    def check(self) -> None:
        """Look at both.

        Raises:
            LogMovedError: the log is gone.
            LogCutError: the log is shorter than it was.
            OSError: the journal itself is gone, another one, or shorter than it was.
        """
        found = _look(self._journal)
        if _place(found) != self._place:
            msg = "the journal file was replaced"
            raise OSError(msg)
        if found.st_size < self._bytes:
            msg = "the journal file was cut short"
            raise OSError(msg)
        if self._log_place is None:
            return
        try:
            log = _look(self._log)
        except FileNotFoundError:
            log = None
        if log is None or _place(log) != self._log_place:
            msg = "its write-ahead log was moved or deleted: start the program again"
            raise LogMovedError(msg)
        if log.st_size < self._log_bytes:
            msg = "its write-ahead log was cut short: start the program again"
            raise LogCutError(msg)


def _look(path: str) -> os.stat_result:
    # For each append somebody waits for four such looks, and a `Path` is slower to be asked.
    return os.stat(path)  # noqa: PTH116


def _place(found: os.stat_result) -> tuple[int, int]:
    return (found.st_dev, found.st_ino)
