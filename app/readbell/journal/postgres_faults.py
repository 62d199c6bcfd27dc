"""What a server says is wrong, in our words; its own may hold what was sent to it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from readbell.journal.errors import JournalError, LinkLostError

if TYPE_CHECKING:
    import psycopg

CONFLICT, BROKEN = "RB001", "RB002"
"""What our own functions on the server refuse with: the end has passed; it does not follow."""
ONCE = "event_once"
"""The rule that no event stands twice in a bay."""
_LINK = {
    "57014",  # no answer in time
    "57P01",  # the server is being stopped
    "57P02",  # it crashed
    "57P03",  # it is starting
    "57P05",  # it ends whoever is idle
    "53300",  # it has no room for one more
}
_REASONS = {
    "25006": "the server may only be read",
    "42501": "the server does not let this role write",
    "53100": "the server's disk is full",
    "53200": "the server has no memory left",
}
_AWAY = (
    (
        r"could not translate host|failed to resolve host|name or service not known",
        "no such host is known here: check the name, and the network",
    ),
    (r"too many (clients|connections)|connection slots", "the server has no room for one more"),
    (r"starting up|shutting down|recovery mode", "the server is starting or stopping"),
)
"""What will pass: signs in the words of libpq, and the sentence."""
_CERTIFICATE = (
    "its certificate is not one that this computer trusts for that name: put the site's into "
    "~/.postgresql/root.crt, or add sslrootcert=FILE to the address"
)
_NOT_FROM_HERE = (
    "the server lets nobody in from here with that user and database: "
    "its administrator has to allow it in pg_hba.conf"
)
_WRONG = (
    (
        r"password authentication failed",
        "the server does not take this password: put the right one into ~/.pgpass",
    ),
    (
        r"no password supplied",
        "the server asks for a password: put it into ~/.pgpass, readable by you alone",
    ),
    (r"does not support ssl", "the server speaks no TLS: its administrator has to set it up"),
    (r"root certificate file|certificate verify failed|server certificate", _CERTIFICATE),
    (r"no pg_hba.conf entry", _NOT_FROM_HERE),
    (r'database "[^\n]*" does not exist', "there is no such database: check the name"),
    (r'role "[^\n]*" does not exist', "there is no such user: check the name"),
)
"""What somebody has to see to."""
_NOBODY = "nobody answers there: check host and port, and that the server runs"
_NOT_LET_IN = "the server lets nobody in like this: its administrator finds in its log why"


class ServerRefusedError(JournalError):
    """The server did not do what it was asked; the text says why, and nothing of what was sent.

    Args:
        code: the SQLSTATE that it gave.
        rule: the name of the rule that stands against it, where there is one.
    """

    def __init__(self, code: str, rule: str | None = None) -> None:
        super().__init__(reason_of(code))
        self.code = code
        self.rule = rule


def is_link_fault(error: psycopg.Error) -> bool:
    """Say whether `error` tells of the connection, and not of what was asked."""
    import psycopg

    if error.sqlstate is None:
        return isinstance(error, psycopg.OperationalError | psycopg.InterfaceError)
    return error.sqlstate in _LINK or error.sqlstate.startswith("08")


def reason_of(code: str) -> str:
    """Say in a few words why the server did not do something."""
    if code.startswith("23"):
        return "something of it stands there already"
    return _REASONS.get(code, f"the server refused it (SQLSTATE {code})")


def not_connected(error: psycopg.Error, told: str) -> JournalError:
    """Return the sentence for a connection to `told` that was not made.

    libpq gives no code for it, so its English words are looked for; a server that speaks
    another language is told as one that does not let us in, with where to look.
    """
    words = str(error).casefold()
    for signs, sentence in _AWAY:
        if re.search(signs, words):
            return LinkLostError(f"{told}: {sentence}")
    for signs, sentence in _WRONG:
        if re.search(signs, words):
            return JournalError(f"{told}: {sentence}")
    if re.search(r"\b[a-z]+: {2}", words):  # it answered: FATAL, in whatever language
        return JournalError(f"{told}: {_NOT_LET_IN}")
    return LinkLostError(f"{told}: {_NOBODY}")
