"""One program at a time writes to a journal; a second one is told so."""

from __future__ import annotations

from typing import TYPE_CHECKING

from filelock import FileLock, Timeout

from readbell.journal.errors import InUseError, JournalError

if TYPE_CHECKING:
    from pathlib import Path

SUFFIX = ".lock"
OWNER_ONLY = 0o600


class JournalLock:
    """The right to write to one journal, given back when the program ends in any way."""

    def __init__(self, journal: Path) -> None:
        self._journal = journal
        self._lock = FileLock(
            f"{journal.resolve()}{SUFFIX}", timeout=0, mode=OWNER_ONLY, thread_local=False
        )

    def take(self) -> None:
        """Take the right to write.

        Raises:
            InUseError: another program has it.
            JournalError: the lock file cannot be made.
        """
        try:
            self._lock.acquire()
        except Timeout:
            msg = (
                f"{self._journal}: another readbell is writing to this journal: "
                "use that one, or watch it with 'readbell watch'"
            )
            raise InUseError(msg) from None
        except OSError as error:
            msg = f"{self._journal}: {error.strerror}: choose a folder you may write in"
            raise JournalError(msg) from None

    def release(self) -> None:
        """Give the right back."""
        self._lock.release()
