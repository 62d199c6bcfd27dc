"""Prepares a server for shared bays, or prints with what that is done."""

from __future__ import annotations

import getpass
import sys
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from readbell.journal.errors import JournalError
from readbell.journal.postgres_address import is_here, read_address
from readbell.journal.postgres_faults import is_link_fault, not_connected, reason_of
from readbell.journal.postgres_opening import connect_as_is
from readbell.journal.postgres_schema import prepare, statements

if TYPE_CHECKING:
    from collections.abc import Iterator

    import psycopg

    from readbell.journal.postgres_address import Address


def print_sql(role: str) -> None:
    """Print all that preparing does, to be run by psql in one transaction."""
    print("\n".join(["BEGIN;\n", *statements(role), "COMMIT;"]))


def prepare_server(address: str, role: str) -> None:
    """Make tables and role on a server, and say what is to be done next.

    Raises:
        JournalError: the server does not let us; the sentence says why.
    """
    place = read_address(address)
    warned: list[str] = []
    with connect_as_is(place) as connection, _told(place):
        connection.add_notice_handler(lambda found: warned.append(found.message_primary or ""))
        connection.execute(b"SET client_min_messages = warning")
        is_new = prepare(connection, role)
        was_given = _give_password(connection, role)
    done = "is prepared for shared bays" if is_new else "was prepared already"
    print(f"{place.told}: {done}; the role {role} may look and add, and no more")
    for each in warned:
        print(f"{place.told}: {each}", file=sys.stderr)
    if not was_given:
        print(f"Where it has no password yet, give it one with psql: \\password {role}")
    print(f"Stations join with: readbell join '{of_stations(place, role)}' --bay NAME")


@contextmanager
def _told(place: Address) -> Iterator[None]:
    """Turn what goes wrong on the server into one sentence.

    Raises:
        JournalError: something did.
    """
    import psycopg

    try:
        yield
    except psycopg.errors.InsufficientPrivilege:
        msg = (
            f"{place.told}: this user may not make tables and roles there: connect as one who "
            "may, or hand the administrator what --sql prints"
        )
        raise JournalError(msg) from None
    except psycopg.Error as error:
        if is_link_fault(error):
            raise not_connected(error, place.told) from None
        msg = f"{place.told}: {reason_of(error.sqlstate or '')}: nothing was changed there"
        raise JournalError(msg) from None
    except JournalError as error:
        msg = f"{place.told}: {error}"
        raise type(error)(msg) from None


def _give_password(connection: psycopg.Connection[Any], role: str) -> bool:
    """Ask for the role's password where somebody can be asked; say whether one was given."""
    from psycopg.sql import SQL, Identifier, Literal

    if not sys.stdin.isatty():
        return False
    found = getpass.getpass(f"New password of {role} (Enter alone leaves it as it is): ")
    if not found:
        return False
    if getpass.getpass("Once more: ") != found:
        print("The two were not the same: the password was left as it was", file=sys.stderr)
        return False
    # Only its hash is sent, so that it stands in no log of the server.
    hashed = connection.pgconn.encrypt_password(found.encode(), role.encode(), b"scram-sha-256")
    connection.execute(
        SQL("ALTER ROLE {} PASSWORD {}").format(Identifier(role), Literal(hashed.decode()))
    )
    return True


def of_stations(place: Address, role: str) -> str:
    """Return the address as stations use it: with their role, and without a password.

    What is this computer here is another one for them, so there it has a word for its name.
    """
    hosts = place.parameters["host"].split(",")
    host = ",".join("SERVER" if is_here(each) else each for each in hosts)
    return replace(place, parameters={**place.parameters, "user": role, "host": host}).told
