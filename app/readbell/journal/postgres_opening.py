"""Connecting to the server of a shared bay, and looking whether it is fit for one.

Every setting that the record rests on is made for the session and read back: whoever
administers the server may have others in mind for everybody else.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from readbell.journal.errors import JournalError
from readbell.journal.postgres_address import need_driver
from readbell.journal.postgres_faults import is_link_fault, not_connected
from readbell.journal.postgres_schema import judge_version, look_at_server, version_of

if TYPE_CHECKING:
    import psycopg

    from readbell.journal.postgres_address import Address

ANSWER_SECONDS = 5
"""For how long a statement may take: longer, and the link is taken for lost."""
_SETTINGS = {
    # Each statement sees what others stored before it, once it has the lock of the bay.
    "default_transaction_isolation": "read committed",
    "statement_timeout": f"{ANSWER_SECONDS - 1}s",  # sooner than we give up: then it is not stored
    "idle_session_timeout": "0",  # a station may have nothing to record for hours
    "search_path": "pg_catalog, pg_temp",
    # Of a statement that fails, what was bound to it does not go into the server's log.
    "log_parameter_max_length_on_error": "0",
}
_SET = b"""
SELECT name, value, set_config(name, value, false)
FROM unnest(%s::text[], %s::text[]) AS wanted (name, value)
"""
_DURABLE = b"""
SELECT set_config('synchronous_commit', 'on', false)
WHERE current_setting('synchronous_commit') IN ('off', 'local')
"""
_TOO_MUCH = b"""
SELECT what || ' on readbell.' || relname
FROM pg_class, unnest(ARRAY['UPDATE', 'DELETE', 'TRUNCATE', 'TRIGGER']) AS what
WHERE relnamespace = 'readbell'::regnamespace AND relkind = 'r'
  AND (has_table_privilege(pg_class.oid, what)
       OR (what = 'UPDATE' AND has_any_column_privilege(pg_class.oid, what)))
ORDER BY relname = 'event' DESC, what = 'UPDATE' DESC LIMIT 1
"""
_LOGGED = b"""
SELECT 1
WHERE current_setting('log_parameter_max_length') <> '0'
  AND (current_setting('log_statement') = 'all'
       OR current_setting('log_min_duration_statement') <> '-1'
       OR current_setting('log_min_duration_sample') <> '-1'
       OR current_setting('log_transaction_sample_rate') <> '0')
"""


def connect(address: Address) -> psycopg.Connection[Any]:
    """Return a connection to `address`, each statement of it a transaction of its own.

    Raises:
        LinkLostError: nobody answers there now.
        JournalError: whoever answers does not let us in.
    """
    connection = connect_as_is(address)
    import psycopg

    try:
        _set(connection, address.told)
    except JournalError:
        connection.close()
        raise
    except psycopg.Error as error:
        connection.close()
        raise not_connected(error, address.told) from None
    return connection


def connect_as_is(address: Address) -> psycopg.Connection[Any]:
    """Return a connection with the server's own settings, for whoever administers it.

    Raises:
        LinkLostError: nobody answers there now.
        JournalError: whoever answers does not let us in.
    """
    need_driver()
    import psycopg

    try:
        # The types of what libpq takes are its own to check.
        return psycopg.connect(**dict[str, Any](address.parameters), autocommit=True)
    except psycopg.Error as error:
        raise not_connected(error, address.told) from None


def look(connection: psycopg.Connection[Any], address: Address) -> None:
    """Refuse a server that is not prepared, or on which we might do, or give away, too much.

    Raises:
        JournalError: it is not as it should be; the sentence says what its administrator has to do.
        LinkLostError: the link was lost meanwhile.
    """
    import psycopg

    role = connection.info.user
    try:
        fault = _fault_of(connection, role)
    except JournalError as error:
        msg = f"{address.told}: {error}"
        raise type(error)(msg) from None
    except psycopg.errors.InsufficientPrivilege:
        fault = (
            f"the role {role} may not use what stands there: have the administrator run "
            f"'readbell journal prepare ADDRESS --app-role {role}'"
        )
    except psycopg.Error as error:
        if is_link_fault(error):
            raise not_connected(error, address.told) from None
        raise
    if fault is not None:
        msg = f"{address.told}: {fault}"
        raise JournalError(msg)


def _set(connection: psycopg.Connection[Any], told: str) -> None:
    wanted = (list(_SETTINGS), list(_SETTINGS.values()))
    for name, value, found in connection.execute(_SET, wanted).fetchall():
        if value != found:
            msg = f"{told}: setting {name} did not take: this server cannot be trusted"
            raise JournalError(msg)
    connection.execute(_DURABLE)


def _fault_of(connection: psycopg.Connection[Any], role: str) -> str | None:
    look_at_server(connection)
    version = version_of(connection)
    if version is None:
        return (
            "it is not prepared for shared bays: have its administrator run "
            "'readbell journal prepare ADDRESS'"
        )
    judge_version(version)
    too_much = connection.execute(_TOO_MUCH).fetchone()
    if too_much is not None:
        return (
            f"the role {role} has {too_much[0]}, which is too much: take the role that "
            "'readbell journal prepare' made, which may look and add"
        )
    if connection.execute(_LOGGED).fetchone() is not None:
        return (
            "the server's log would name patients: have a superuser run "
            f"'ALTER ROLE {role} SET log_parameter_max_length = 0'"
        )
    return None
