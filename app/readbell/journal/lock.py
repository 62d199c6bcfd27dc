"""One program at a time writes to a journal; a second one is told so."""

from __future__ import annotations

import os
import sys
import time
from typing import TYPE_CHECKING

from readbell.journal.errors import InUseError, JournalError

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

SUFFIX = ".lock"
OWNER_ONLY = 0o600
PATIENCE = 0.1
"""Seconds that a start waits: whoever only asks whether a program writes has it for an instant."""
AGAIN = 0.02
"""Seconds to the next try."""


def lock_of(journal: Path) -> Path:
    """Return the file that stands for the right to write to `journal`."""
    found = journal.resolve()
    return found.with_name(f"{found.name}{SUFFIX}")


def is_taken(journal: Path) -> bool | None:
    """Say whether a program writes to `journal` now; None: this system does not tell.

    Nothing is changed by it, and nobody who starts is hindered: it is a lock that many may
    share, held for an instant, and a start has the patience for one.
    """
    if sys.platform == "win32":
        return None
    import fcntl  # cannot be had there

    try:
        with lock_of(journal).open("rb") as file:
            fcntl.flock(file, fcntl.LOCK_SH | fcntl.LOCK_NB)
    except FileNotFoundError:
        return False
    except BlockingIOError:
        return True
    except OSError:
        return None
    return False


class JournalLock:
    """The right to write to one journal, given back when the program ends in any way."""

    def __init__(self, journal: Path) -> None:
        self._journal = journal
        self._place = lock_of(journal)
        self._let_go: Callable[[], None] | None = None

    def take(self, patience: float = PATIENCE) -> None:
        """Take the right to write.

        Args:
            patience: seconds to wait for it; 0: whoever tries again soon need not.

        Raises:
            InUseError: another program has it.
            JournalError: the lock file cannot be made.
        """
        try:
            self._let_go = _held(self._place, patience)
        except BlockingIOError:
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
        let_go, self._let_go = self._let_go, None
        if let_go is not None:
            let_go()


def _held(place: Path, patience: float) -> Callable[[], None]:
    """Hold the lock file `place`, and return what lets go of it.

    Raises:
        BlockingIOError: another program has it.
        OSError: it cannot be made.
    """
    if sys.platform == "win32":
        from filelock import FileLock, Timeout  # knows what this system has instead

        lock = FileLock(place, mode=OWNER_ONLY, thread_local=False)
        try:
            lock.acquire(timeout=patience)
        except Timeout:
            raise BlockingIOError from None
        return lock.release
    import fcntl

    file = os.open(place, os.O_RDWR | os.O_CREAT, OWNER_ONLY)

    def let_go() -> None:
        fcntl.flock(file, fcntl.LOCK_UN)
        os.close(file)

    for tries_left in range(round(patience / AGAIN), -1, -1):
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
            break
        except OSError as error:
            if not isinstance(error, BlockingIOError) or not tries_left:
                os.close(file)
                raise
        time.sleep(AGAIN)
    return let_go
