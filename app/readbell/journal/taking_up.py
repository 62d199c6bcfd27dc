"""How a bay takes up its journal: from a snapshot if there is a good one, else from the first event."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.journal.errors import JournalError
from readbell.journal.snapshot import read_snapshot
from readbell.journal.sqlite import SqliteJournal

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.journal.snapshot import Snapshot


def sound_journal(path: Path) -> tuple[SqliteJournal, Snapshot | None]:
    """Return the journal at `path` looked through, or unlooked with the snapshot to start from.

    With a snapshot the file is looked through once the board stands, and all that is in it.

    Raises:
        JournalError: it cannot be opened, or its file is damaged.
    """
    journal = SqliteJournal.open(path)
    snapshot = read_snapshot(journal.snapshot())
    damage = journal.damage() if snapshot is None else None
    if damage is not None:
        journal.close()
        msg = f"{path}: the file is damaged ({damage}): restore a backup"
        raise JournalError(msg)
    return journal, snapshot
