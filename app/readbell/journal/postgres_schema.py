"""The tables on the server: who makes them, and with which statements; the files are in `sql`."""

from __future__ import annotations

import re
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from readbell.journal.errors import JournalError, NewerJournalError

if TYPE_CHECKING:
    from collections.abc import Iterator

    import psycopg

SCHEMA_VERSION = 1
OLDEST_SERVER = 140_000
"""As PostgreSQL writes its version 14, the oldest that still gets repairs."""
DEFAULT_ROLE = "readbell_station"
_ROLE = re.compile(r"[a-z_][a-z0-9_]{0,62}")
_PARTS = ("1_tables", "2_guards", "3_appending", "4_news", "5_version")


def statements(role: str) -> Iterator[str]:
    """Yield what makes the tables, and then what makes `role` and says what it may do.

    Raises:
        JournalError: `role` is no name that needs no quotes.
    """
    if not _ROLE.fullmatch(role):
        msg = (
            "--app-role: a role's name has small letters, digits and _ alone, and begins with "
            "no digit: choose another"
        )
        raise JournalError(msg)
    for part in (*_PARTS, "role"):
        yield _text(part).replace(":role", role)


def prepare(connection: psycopg.Connection[Any], role: str) -> bool:
    """Make the tables where there are none, and let `role` use them; return whether they are new.

    Either all of it is done or nothing.

    Raises:
        JournalError: `role` is no name, or the server cannot hold shared bays.
        psycopg.Error: whoever is connected may not do this.
    """
    *tables, grants = statements(role)
    look_at_server(connection)
    with connection.transaction():
        there = version_of(connection)
        if there is None:
            for each in tables:
                connection.execute(each.encode())
        else:
            judge_version(there)
        connection.execute(grants.encode())
    return there is None


def version_of(connection: psycopg.Connection[Any]) -> int | None:
    """Return which version of the tables stands there; None: there are no tables.

    Raises:
        psycopg.Error: whoever is connected may not look, or the link is lost.
    """
    found = connection.execute(b"SELECT to_regclass('readbell.schema_version')").fetchone()
    if found is None or found[0] is None:
        return None
    row = connection.execute(b"SELECT max(version) FROM readbell.schema_version").fetchone()
    return 0 if row is None or row[0] is None else int(row[0])


def judge_version(found: int) -> None:
    """Refuse tables that are not of this program's version.

    Raises:
        NewerJournalError: a newer program made them.
        JournalError: an older one did.
    """
    if found > SCHEMA_VERSION:
        msg = "a newer readbell prepared this server: use that version on every station"
        raise NewerJournalError(msg)
    if found < SCHEMA_VERSION:
        msg = (
            "an older readbell prepared this server: have its administrator run "
            "'readbell journal prepare' of this version"
        )
        raise JournalError(msg)


def look_at_server(connection: psycopg.Connection[Any]) -> None:
    """Refuse a server that is too old, or a database that does not hold every letter.

    Raises:
        JournalError: it is.
    """
    version = connection.info.server_version
    if version < OLDEST_SERVER:
        msg = (
            f"the server is PostgreSQL {version // 10_000}: "
            f"take one of version {OLDEST_SERVER // 10_000} or newer"
        )
        raise JournalError(msg)
    encoding = connection.info.parameter_status("server_encoding")
    if encoding != "UTF8":
        msg = f"the database is in {encoding}: make one with ENCODING 'UTF8'"
        raise JournalError(msg)


def _text(part: str) -> str:
    return files("readbell.journal").joinpath("sql", f"{part}.sql").read_text(encoding="utf-8")
