"""Where a snapshot stands in the journal's file: beside the record, and never the truth.

Whatever of it names somebody goes with the first identifier that is erased, by a rule
of the file, whoever does the erasing; and nothing older is put there again.
"""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

import apsw

if TYPE_CHECKING:
    from collections.abc import Mapping

SCHEMA = """
CREATE TABLE snapshot (
    part INTEGER PRIMARY KEY,
    body BLOB NOT NULL
) STRICT;
CREATE TABLE erasures (
    only_row INTEGER PRIMARY KEY CHECK (only_row = 1),
    made INTEGER NOT NULL
) STRICT;
INSERT INTO erasures VALUES (1, 0);
CREATE TRIGGER snapshot_forgets AFTER UPDATE ON private
BEGIN
    DELETE FROM snapshot;
    UPDATE erasures SET made = made + 1;
END;
"""
UNKNOWN = -1
"""Where there is no telling how often something was erased."""


def add_to(connection: apsw.Connection) -> None:
    """Give a journal of an earlier program a place for snapshots, if it has none."""
    found = connection.execute("SELECT 1 FROM sqlite_schema WHERE name = 'erasures'").fetchone()
    if found is None:
        # On a full disk there is none: then every start reads the whole record, as before.
        with suppress(apsw.Error), connection:
            connection.execute(SCHEMA)


def parts_in(connection: apsw.Connection) -> Mapping[int, bytes]:
    """Return the parts of the snapshot; none if there is none, or no place for one."""
    try:
        found = connection.execute("SELECT part, body FROM snapshot").fetchall()
    except apsw.Error:
        return {}
    return {part: body for part, body in found if type(part) is int and type(body) is bytes}


def erasures_in(connection: apsw.Connection) -> int:
    """Return how often an identifier was erased, or UNKNOWN."""
    try:
        row = connection.execute("SELECT made FROM erasures").fetchone()
    except apsw.Error:
        row = None
    return UNKNOWN if row is None else int(row[0])


def put_into(connection: apsw.Connection, parts: Mapping[int, bytes], stay: frozenset[int]) -> None:
    """Put `parts` in the place of all but those in `stay`."""
    there = [part for (part,) in connection.execute("SELECT part FROM snapshot")]
    connection.executemany(
        "DELETE FROM snapshot WHERE part = ?", [(each,) for each in there if each not in stay]
    )
    connection.executemany("INSERT INTO snapshot VALUES (?, ?)", parts.items())
