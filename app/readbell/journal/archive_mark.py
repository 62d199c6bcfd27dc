"""What makes a file with a record in it an archive: a mark, and nothing may be added to it."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import apsw

ARCHIVE = """
CREATE TABLE archive (
    only_row INTEGER PRIMARY KEY CHECK (only_row = 1)
) STRICT;
CREATE TRIGGER archive_is_closed BEFORE INSERT ON event
BEGIN SELECT RAISE(ABORT, 'an archive takes no more events'); END;
"""


def is_archive(connection: apsw.Connection) -> bool:
    """Say whether the file takes no more events."""
    named = "SELECT 1 FROM sqlite_schema WHERE name = 'archive'"
    return connection.execute(named).fetchone() is not None
