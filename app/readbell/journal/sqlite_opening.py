"""Opening the file of a journal: its owner's alone, and never taken for a new one by mistake."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

import apsw

from readbell.journal.disk import sync_folder
from readbell.journal.errors import JournalError
from readbell.journal.in_place import log_of

if TYPE_CHECKING:
    from pathlib import Path

IN_MEMORY = ":memory:"
OWNER_ONLY = 0o600


def connect(path: Path | None, *, read_only: bool) -> apsw.Connection:
    """Return a connection to the file at `path`, made where there is none; None: in memory.

    Raises:
        JournalError: it was emptied beside its log.
        apsw.Error, OSError: it cannot be opened.
    """
    if path is None:
        return apsw.Connection(IN_MEMORY)
    if path.exists() and path.stat().st_size == 0 and has_log(path):
        # SQLite would take the file for a new one, and delete the log with all that is in it.
        msg = f"{path}: it was emptied, but its log {log_of(path).name} was not: keep both safe"
        raise JournalError(msg)
    if read_only and not os.access(path.parent, os.W_OK) and not has_log(path):
        # On a disk that cannot be written nobody can change it either, and no lock can be made.
        flags = apsw.SQLITE_OPEN_READONLY | apsw.SQLITE_OPEN_URI
        return apsw.Connection(f"{path.resolve().as_uri()}?immutable=1", flags=flags)
    if read_only:
        return apsw.Connection(str(path), flags=apsw.SQLITE_OPEN_READONLY)
    # Made by hand first, so that nobody else may ever read it.
    handle = os.open(path, os.O_RDWR | os.O_CREAT, OWNER_ONLY)
    if hasattr(os, "fchmod"):  # Windows keeps no such rights
        os.fchmod(handle, OWNER_ONLY)
    os.close(handle)
    sync_folder(path.parent)
    return apsw.Connection(str(path), flags=apsw.SQLITE_OPEN_READWRITE)


def has_log(path: Path) -> bool:
    """Say whether a write-ahead log lies beside `path`, which must then be read as well."""
    log = log_of(path)
    return log.exists() and log.stat().st_size > 0
