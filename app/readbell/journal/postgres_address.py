"""Where the record of a shared bay stands: an address as libpq writes it, made safe to connect to.

A server that is not on this very computer is spoken to by TLS alone, and only if its
certificate is its own (`sslmode=verify-full`): whoever listens in between would read
names and results. A password comes by libpq's own means and is never shown.
"""

from __future__ import annotations

import os
from dataclasses import field
from hashlib import sha256
from importlib.util import find_spec
from ipaddress import ip_address
from itertools import zip_longest
from typing import TYPE_CHECKING
from urllib.parse import parse_qsl, urlencode

from readbell.core.made_later import dataclass
from readbell.journal.errors import JournalError

if TYPE_CHECKING:
    from collections.abc import Mapping

SCHEMES = ("postgresql://", "postgres://")
VERIFIED = "verify-full"
CONNECT_SECONDS = 3
NO_ADDRESS = "this is no address of a server: write it as postgresql://USER@HOST:PORT/DATABASE"
NEEDS_SHARED = "a shared bay takes the extra shared: pip install 'readbell[shared]'"
_ALWAYS = {
    "connect_timeout": str(CONNECT_SECONDS),
    "application_name": "readbell",
    "client_encoding": "UTF8",
    "gssencmode": "disable",
    # A network that is gone is found out within seconds, not within two hours.
    "keepalives": "1",
    "keepalives_idle": "2",
    "keepalives_interval": "1",
    "keepalives_count": "3",
    "tcp_user_timeout": "5000",
}


def listener(bay: int, station: str, run: str) -> str:
    """Return what one run of a station's program is called on the server while it listens there.

    The server cuts names short and takes no letter but those of ASCII, so a digest stands for the station.
    """
    return f"{_listeners(bay, station)} {run}"


def listeners(bay: int, station: str) -> str:
    """Return the pattern that all who listen in the name of `station` fit, as SQL writes patterns."""
    return f"{_listeners(bay, station)} %"


def _listeners(bay: int, station: str) -> str:
    return f"readbell {bay} {sha256(station.encode()).hexdigest()[:16]}"


@dataclass(frozen=True, slots=True)
class Address:
    """A database on a server, and which of its bays, if that was said."""

    parameters: Mapping[str, str] = field(repr=False)
    """What libpq is given; a password may be among it."""
    bay: str | None = None

    @property
    def told(self) -> str:
        """The address without its password, for people."""
        given = self.parameters
        user = f"{given['user']}@" if "user" in given else ""
        hosts, ports = given["host"].split(","), given.get("port", "").split(",")
        if len(ports) == 1:  # it is that of all of them
            ports *= len(hosts)
        places = zip_longest(hosts, ports, fillvalue="")
        place = ",".join(f"{host}:{port}" if port else host for host, port in places)
        return f"postgresql://{user}{place}/{given.get('dbname', '')}"


def is_address(text: str) -> bool:
    """Say whether `text` is meant to be an address of a server, and no file."""
    return text.startswith(SCHEMES)


def read_address(text: str) -> Address:
    """Return what `text` says; beside what libpq knows it may say `bay=NAME`.

    Raises:
        JournalError: it is none, it would be spoken to in the clear, or psycopg is missing.
    """
    need_driver()
    from psycopg import ProgrammingError
    from psycopg.conninfo import conninfo_to_dict

    if not is_address(text):
        raise JournalError(NO_ADDRESS)
    place, _, query = text.partition("?")
    said = parse_qsl(query, keep_blank_values=True)
    others = urlencode([(key, value) for key, value in said if key != "bay"])
    try:
        found = conninfo_to_dict(f"{place}?{others}" if others else place)
    except ProgrammingError:  # its words may hold the password
        raise JournalError(NO_ADDRESS) from None
    given = {key: str(value) for key, value in found.items() if value is not None}
    given.setdefault("host", os.environ.get("PGHOST", ""))
    bay = next((value for key, value in said if key == "bay"), None)
    return Address(parameters=_ALWAYS | _secured(given), bay=bay)


def need_driver() -> None:
    """Say in one sentence what is missing where psycopg is not installed.

    Raises:
        JournalError: it is not.
    """
    if find_spec("psycopg") is None:
        raise JournalError(NEEDS_SHARED)


def _secured(given: dict[str, str]) -> dict[str, str]:
    """Return `given` with TLS asked for, unless the server is on this computer.

    Raises:
        JournalError: less than that was asked for.
    """
    places = given["host"].split(",")
    if len(places) > 1:  # of several the one that can be written to
        given.setdefault("target_session_attrs", "read-write")
    places += (given.get("hostaddr") or os.environ.get("PGHOSTADDR") or places[0]).split(",")
    hidden = "service" in given or "PGSERVICE" in os.environ  # it may name any host
    if not hidden and all(is_here(each) for each in places):
        return given
    mode = given.get("sslmode", VERIFIED)
    if mode != VERIFIED:
        msg = (
            f"sslmode={mode} lets others listen in or pass for the server: "
            f"leave it out, or write sslmode={VERIFIED}"
        )
        raise JournalError(msg)
    return given | {"sslmode": VERIFIED}


def is_here(host: str) -> bool:
    """Say whether `host` is a socket of this computer, or the computer itself."""
    if host in ("", "localhost") or host.startswith(("/", "@")):
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False
