"""What an erasing does to the file of a journal: nothing of it is left there, and nothing half done.

The event that tells of an erasing names the keys of all that it erases, and whatever
stores the event empties those values in the same transaction: so after a power cut
there are both or neither. That holds whichever way the event comes into the file.

SQLite writes what is new beside what was before: in its log, and in pages that are
free. Emptied values are overwritten where they stood (`secure_delete`), the log is
brought home and cut to nothing, and the file is written anew. Until that is done a mark
stands in the file; whoever opens it next for writing finds the mark and does the rest.
"""

from __future__ import annotations

import json
from contextlib import suppress
from typing import TYPE_CHECKING

import apsw

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.journal.record import Record

KIND = '"kind":"record-erased"'
"""Stands in no other body: inside a text its quotes would be escaped."""
_MARK = """
CREATE TABLE IF NOT EXISTS old_bytes (
    only_row INTEGER PRIMARY KEY CHECK (only_row = 1)
) STRICT;
INSERT OR REPLACE INTO old_bytes VALUES (1);
"""


def erased_by(record: Record) -> tuple[str, ...]:
    """Return the keys of the values that the event in `record` erases; of most events none."""
    if KIND not in record.body:
        return ()
    keys: list[str] = json.loads(record.body)["event"]["keys"]
    return tuple(keys)


def erase_with(connection: apsw.Connection, records: Iterable[Record]) -> None:
    """Empty what `records` erase, in the transaction that stores them."""
    keys = [(key,) for each in records if KIND in each.body for key in erased_by(each)]
    if not keys:
        return
    before = connection.total_changes()
    # Without its salt the digest in the chain is no help to whoever would try all short IDs.
    connection.executemany(
        "UPDATE private SET value = NULL, salt = '' WHERE key = ? AND value IS NOT NULL", keys
    )
    if connection.total_changes() > before:
        connection.execute(_MARK)


def holds_old_bytes(connection: apsw.Connection) -> bool:
    """Say whether bytes of what was erased may still be in the file or its log."""
    try:
        return connection.execute("SELECT 1 FROM old_bytes").fetchone() is not None
    except apsw.SQLError:
        return False  # nothing was ever erased


def overwrite_old_bytes(connection: apsw.Connection) -> None:
    """Write the file anew if it may hold bytes of what was erased; what hinders it leaves the mark.

    It wants as much memory, and as much room on the disk, as the file is large, and nobody
    reading from before. Whoever asks `holds_old_bytes` afterwards knows whether it was done.
    """
    if not holds_old_bytes(connection):
        return
    with suppress(apsw.Error):
        # What does not fit into memory must not lie in a folder for everybody's leavings.
        connection.pragma("temp_store", "MEMORY")
        _cut_log(connection)
        connection.execute("VACUUM")
        _cut_log(connection)
        connection.execute("DELETE FROM old_bytes")
        _cut_log(connection)


def _cut_log(connection: apsw.Connection) -> None:
    connection.wal_checkpoint(mode=apsw.SQLITE_CHECKPOINT_TRUNCATE)
