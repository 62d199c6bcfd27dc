"""Putting a whole journal under a passphrase, or taking its passphrase away."""

from __future__ import annotations

import secrets
from contextlib import suppress
from typing import TYPE_CHECKING

from readbell.journal.continuation import continuations_of
from readbell.journal.copies import copy_journal
from readbell.journal.errors import JournalError
from readbell.journal.lock import JournalLock
from readbell.journal.locked import KEYRING, change_key, is_locked, put_in_place
from readbell.journal.locked_lines import remove_lines
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from readbell.journal.record import Head


def lock_journal(journal: Path, passphrase: str, places: Sequence[Path]) -> Head:
    """Put the journal under `passphrase`, a new and empty one where there is none; return its end.

    A checked copy takes its place at the end, so it is there whole at every instant.

    Raises:
        InUseError: a program is using it.
        JournalError: it has a passphrase, is broken, or the disk does not allow it.
    """
    return _change(journal, passphrase, places)


def unlock_journal(journal: Path, places: Sequence[Path]) -> Head:
    """Take the passphrase of the journal away; return its end.

    Raises:
        InUseError: a program is using it.
        JournalError: it has none, is broken, or the disk does not allow it.
    """
    return _change(journal, None, places)


def _change(journal: Path, passphrase: str | None, places: Sequence[Path]) -> Head:
    taken = JournalLock(journal)
    taken.take()
    try:
        if passphrase is not None and not journal.exists():
            return _begin(journal, passphrase)
        if is_locked(journal) is (passphrase is not None):
            state = "locked already" if passphrase is not None else "not locked"
            msg = f"{journal}: it is {state}: nothing was done"
            raise JournalError(msg)
        copy = journal.with_name(f"{journal.name}.copy-{secrets.token_hex(4)}")
        try:
            end = copy_journal(journal, copy, places)
            change_key(copy, passphrase)
            for path in (copy, journal):
                KEYRING.drop(path)
                if passphrase is not None:
                    KEYRING.keep(path, passphrase)
            _check(copy, end)
            # All that they hold is at home, or it would not have been copied.
            at_home = continuations_of(journal, places)
            put_in_place(copy, journal)
            for each in at_home:
                remove_lines(each)
        finally:
            KEYRING.drop(copy)
            for beside in copy.parent.glob(f"{copy.name}*"):
                with suppress(OSError):
                    beside.unlink()
        return end
    finally:
        taken.release()


def _begin(journal: Path, passphrase: str) -> Head:
    """Make an empty journal under the passphrase; the bay is founded when it is first opened."""
    KEYRING.keep(journal, passphrase)
    made = SqliteJournal.open(journal)
    made.close()
    if not is_locked(journal):
        msg = f"{journal}: the passphrase did not take: delete the file and tell whoever set it up"
        raise JournalError(msg)
    return _end_of(journal)


def _end_of(journal: Path) -> Head:
    """Return the end of the journal, every event of it checked.

    Raises:
        JournalError: it cannot be opened, or is broken.
    """
    opened = SqliteJournal.open(journal, read_only=True)
    try:
        return verify(opened).head
    finally:
        opened.close()


def _check(copy: Path, end: Head) -> None:
    if _end_of(copy) != end:
        msg = f"{copy}: it does not hold what the journal did: the journal is left as it was"
        raise JournalError(msg)
