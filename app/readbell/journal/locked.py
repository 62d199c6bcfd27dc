"""A journal under a passphrase: every page of its file, and of its log, is encrypted.

The cipher is the one that the store brings and calls its own first choice
(ChaCha20 with Poly1305, a key derived by PBKDF2 with SHA-256 and a salt of the
file's own; see the manual of SQLite3 Multiple Ciphers). Nothing of it is our
own. That it is at work is read back: from the store, and from the file, which
then no longer begins as a plain database does.
"""

from __future__ import annotations

import os
from contextlib import suppress
from dataclasses import field
from typing import TYPE_CHECKING

import apsw

from readbell.core.made_later import dataclass
from readbell.journal.disk import sync_folder
from readbell.journal.errors import JournalError
from readbell.journal.in_place import log_of

if TYPE_CHECKING:
    from pathlib import Path

PLAIN = b"SQLite format 3\x00"
"""How a database without a key begins, whoever made it (SQLite's file format, 1.2)."""
_OF_CIPHER = slice(20, 24)
_TELLS = b"\x20\x40\x20\x20"
"""What stands in plain even then: 32 bytes of each page are the cipher's, and three constants."""
CIPHER = "chacha20"
SHORTEST = 12
"""Letters of a passphrase, at least (our own choice)."""
RAW = ("raw:", "x'")
"""The store would take what follows for the key itself, and derive none."""


class WrongKeyError(JournalError):
    """A journal is locked, and what was given does not open it; or nothing was."""


@dataclass(slots=True)
class Keyring:
    """The passphrases that were given to this process, by the file that each opens."""

    _kept: dict[Path, str] = field(default_factory=dict, repr=False)

    def keep(self, journal: Path, passphrase: str) -> None:
        """Use `passphrase` for `journal` from now on."""
        self._kept[journal.resolve()] = passphrase

    def drop(self, journal: Path) -> None:
        """Forget what was given for `journal`."""
        self._kept.pop(journal.resolve(), None)

    def of(self, journal: Path) -> str | None:
        """Return what was given for `journal`, or None."""
        return self._kept.get(journal.resolve())


KEYRING = Keyring()
"""A journal is opened in many places, and asked for its passphrase in one."""


def is_locked(journal: Path) -> bool:
    """Say whether a database stands there that is under a passphrase."""
    try:
        with journal.open("rb") as file:
            begins = file.read(_OF_CIPHER.stop)
    except OSError:
        return False
    return not begins.startswith(PLAIN) and begins[_OF_CIPHER] == _TELLS


def fault_of(passphrase: str) -> str | None:
    """Say in one sentence why `passphrase` is not taken for a new lock, or None if it is."""
    if len(passphrase) < SHORTEST:
        return f"a passphrase has {SHORTEST} letters or more: take several words"
    if passphrase.startswith(RAW):
        return f"a passphrase does not begin with {' or '.join(RAW)}: choose another"
    return None if passphrase.isprintable() else "a passphrase is one line of letters: type it anew"


def open_with_key(connection: apsw.Connection, journal: Path) -> None:
    """Give the connection its key, where the journal has one or a new one is to have one.

    Raises:
        WrongKeyError: there is none at hand, or it is not the right one.
    """
    locked = is_locked(journal)
    key = KEYRING.of(journal)
    if not locked and (key is None or _size(journal)):
        return
    if key is None:
        msg = f"{journal}: it is locked: give its passphrase"
        raise WrongKeyError(msg)
    set_key(connection, journal, key)
    try:
        connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()
    except apsw.NotADBError:
        KEYRING.drop(journal)
        msg = f"{journal}: this is not its passphrase, or it is no journal: try again"
        raise WrongKeyError(msg) from None


def key_alike(copy: apsw.Connection, journal: Path, target: Path) -> None:
    """Put a new copy at `target` under the passphrase of the open `journal`.

    Raises:
        WrongKeyError: the store did not take it.
    """
    key = KEYRING.of(journal)
    if key is None:
        msg = f"{journal}: it is locked: give its passphrase"
        raise WrongKeyError(msg)
    set_key(copy, target, key)
    KEYRING.keep(target, key)


def set_key(connection: apsw.Connection, journal: Path, key: str) -> None:
    """Give a connection the key, before anything is read through it.

    Raises:
        WrongKeyError: the store did not take it.
    """
    took = connection.pragma("cipher", CIPHER) == CIPHER and connection.pragma("key", key) == "ok"
    if not took or connection.pragma("cipher") != CIPHER:
        msg = f"{journal}: this SQLite does not encrypt: install apsw-sqlite3mc, without apsw"
        raise WrongKeyError(msg)
    # What is too large for the memory of one question must not lie on the disk in plain.
    connection.pragma("temp_store", "MEMORY")


def change_key(copy: Path, key: str | None) -> None:
    """Put the database `copy`, which nobody else uses, under `key`; None: take its key away.

    Raises:
        WrongKeyError: it did not take.
    """
    connection = apsw.Connection(str(copy), flags=apsw.SQLITE_OPEN_READWRITE)
    try:
        open_with_key(connection, copy)
        connection.pragma("journal_mode", "DELETE")
        if key is not None:
            connection.pragma("cipher", CIPHER)
        took = connection.pragma("rekey", key or "") == "ok"
    finally:
        connection.close()
    if not took or is_locked(copy) is (key is None):
        msg = f"{copy}: the passphrase did not take: the journal is left as it was"
        raise WrongKeyError(msg)


def put_in_place(copy: Path, journal: Path) -> None:
    """Let `copy` stand where `journal` did, whole or not at all, and its old log be gone.

    Raises:
        JournalError: the disk does not allow it; the journal is as it was.
    """
    try:
        handle = os.open(copy, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
        copy.replace(journal)
        sync_folder(journal.parent)
    except OSError as error:
        msg = f"{journal}: {error.strerror}: it was left as it was"
        raise JournalError(msg) from None
    for beside in (log_of(journal), journal.with_name(f"{journal.name}-shm")):
        with suppress(OSError):
            beside.unlink(missing_ok=True)


def _size(journal: Path) -> int:
    try:
        return journal.stat().st_size
    except OSError:
        return 0
