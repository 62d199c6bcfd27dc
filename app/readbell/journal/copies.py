"""Backing a journal up while it is in use, and bringing a backup back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.journal.errors import JournalError
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import verify

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.journal.record import Head


def copy_journal(source: Path, target: Path) -> Head:
    """Write a checked copy of the journal `source` to `target`, and return its end.

    Backing up and restoring are the same act in two directions: what arrives has
    been verified event by event, and nothing that stands is overwritten.

    Raises:
        JournalError: the source is missing or broken, or something stands at the target.
    """
    if not source.is_file():
        msg = f"{source}: there is no journal: check the name"
        raise JournalError(msg)
    if target.exists():
        msg = f"{target}: something stands there already: move it away first"
        raise JournalError(msg)
    journal = SqliteJournal.open(source, read_only=True)
    try:
        verify(journal)
        journal.copy_to(target)
    finally:
        journal.close()
    copy = SqliteJournal.open(target, read_only=True)
    try:
        return verify(copy).head
    finally:
        copy.close()
