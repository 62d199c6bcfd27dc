"""The lines of a continuation file beside a locked journal: a small database under its passphrase.

A plain file would hold in the clear what the journal was locked for. This one works
wherever a database can be made, in the journal's folder or in another place: the journal
itself is not touched for it. Each line is a transaction, there whole or not at all.
"""

from __future__ import annotations

import errno
import os
from contextlib import suppress
from typing import TYPE_CHECKING, Self

import apsw

from readbell.journal.errors import JournalError
from readbell.journal.locked import set_key

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

OWNER_ONLY = 0o600
BUSY_MILLISECONDS = 2_000
"""Whoever looks on reads the file for a moment: so long an act waits for that."""
OF_A_DATABASE = ("-journal", "-wal", "-shm")
"""Ends of the names of what the store keeps beside a database while it writes to it."""
_SCHEMA = "CREATE TABLE line (number INTEGER PRIMARY KEY, text TEXT NOT NULL) STRICT"
_EXTRA = 3


class LockedLines:
    """One such file, open for more lines."""

    def __init__(self, connection: apsw.Connection) -> None:
        self._connection = connection

    @classmethod
    def begin(cls, path: Path, key: str, first: str) -> Self:
        """Make the file with its first line.

        Raises:
            FileExistsError: something stands there.
            OSError: it cannot be written there.
            WrongKeyError: the store does not encrypt.
        """
        # Made by hand first, so that nobody else may ever read it.
        os.close(os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, OWNER_ONLY))
        lines = cls(_opened(path, key))
        try:
            with lines._connection:  # its own
                lines._connection.execute(_SCHEMA)  # its own
                lines._insert(first)
        except apsw.Error as error:
            lines.close()
            raise _as_os_error(error) from None
        return lines

    @classmethod
    def resume(cls, path: Path, key: str) -> Self:
        """Open a file that an earlier run began.

        Raises:
            OSError: it cannot be opened.
        """
        return cls(_opened(path, key))

    def add(self, line: str) -> None:
        """Put a whole line on the disk, or nothing.

        Raises:
            OSError: it did not get there.
        """
        try:
            with self._connection:
                self._insert(line)
        except apsw.Error as error:
            raise _as_os_error(error) from None

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()

    def _insert(self, line: str) -> None:
        self._connection.execute("INSERT INTO line (text) VALUES (?)", (line,))


def read_locked_lines(path: Path, key: str | None) -> list[bytes]:
    """Return the lines of the file.

    Raises:
        JournalError: it cannot be read, or not with this passphrase.
    """
    if key is None:
        msg = f"{path}: it is locked: give the passphrase of its journal"
        raise JournalError(msg)
    try:
        return list(_lines(path, key))
    except (apsw.Error, OSError) as error:
        msg = (
            f"{path}: it cannot be read with the passphrase of its journal "
            f"({type(error).__name__}): keep it and tell a supervisor"
        )
        raise JournalError(msg) from None


def remove_lines(path: Path) -> None:
    """Take away the file, and what the store left beside it."""
    for each in (path, *(path.with_name(f"{path.name}{end}") for end in OF_A_DATABASE)):
        with suppress(OSError):  # what stays is found to be at home already, next time
            each.unlink(missing_ok=True)


def _lines(path: Path, key: str) -> Iterator[bytes]:
    connection = _opened(path, key)
    try:
        rows = connection.execute("SELECT CAST(text AS BLOB) FROM line ORDER BY number")
        yield from (text for (text,) in rows)
    finally:
        connection.close()


def _opened(path: Path, key: str) -> apsw.Connection:
    try:
        connection = apsw.Connection(str(path), flags=apsw.SQLITE_OPEN_READWRITE)
    except apsw.Error as error:
        raise _as_os_error(error) from None
    try:
        connection.set_busy_timeout(BUSY_MILLISECONDS)
        set_key(connection, path, key)
        connection.pragma("synchronous", _EXTRA)
        connection.pragma("secure_delete", 1)
    except apsw.Error as error:
        connection.close()
        raise _as_os_error(error) from None
    except BaseException:
        connection.close()
        raise
    return connection


def _as_os_error(error: apsw.Error) -> OSError:
    code = errno.ENOSPC if isinstance(error, apsw.FullError) else errno.EIO
    return OSError(code, str(error).partition("\n")[0] or type(error).__name__)
