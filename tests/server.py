"""A real PostgreSQL for the tests that take one, and a wire to it that can be cut.

Debian's programs are started in a temporary folder, on a free port of 127.0.0.1 and a
socket of their own; as root through the user `postgres`, for the server refuses to be
root. Each process of tests has its own, made when the first test asks for it (about half a
second), so a test may stop it without disturbing a neighbour. It ends with that process
however that one ends: a guard waits at the other end of a pipe. A database for a test is a
copy of a prepared one, and takes some hundredths of a second.
"""

from __future__ import annotations

import os
import secrets
import shutil
import socket
import subprocess
import tempfile
import time
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal
from urllib.parse import quote

import psycopg
import pytest

from patience import PATIENCE_SECONDS
from readbell.journal.postgres_programs import server_programs
from readbell.journal.postgres_schema import prepare
from wire import Wire

if TYPE_CHECKING:
    from collections.abc import Iterator

MUST_HAVE = "TESTS_MUST_HAVE_SERVER"
"""Set where a missing server is a fault, as in CI: the tests then fail instead of being skipped."""
GIVEN_PORTS = Path("/proc/sys/net/ipv4/ip_local_port_range")
FIRST_PORT, USUALLY_GIVEN_FROM, TRIES = 10_000, 32_768, 50
MISSING = "PostgreSQL's programs are not installed here: apt-get install postgresql"
ADMINISTRATOR, APP, PASSWORD = "administrator", "bay_app", "seven small lamps"
TEMPLATE = "prepared"
SETTINGS = """
listen_addresses = '127.0.0.1'
port = {port}
unix_socket_directories = '{folder}'
max_connections = 60
shared_buffers = 16MB
logging_collector = off
log_min_messages = log
fsync = {fsync}
lc_messages = 'C'
autovacuum = off
"""
WHO_MAY = """
local all all trust
host all all 127.0.0.1/32 scram-sha-256
"""
PATIENTLY = ("--wait", f"--timeout={PATIENCE_SECONDS:.0f}")
Manner = Literal["fast", "immediate"]


class Server:
    """A PostgreSQL of the tests' own.

    Args:
        durable: whether it writes through to the disk; slower, and of use where a benchmark
            measures. A server that is stopped at once keeps what was committed either way.
    """

    def __init__(self, *, durable: bool = False) -> None:
        programs = server_programs()
        if programs is None:
            raise FileNotFoundError(MISSING)
        self._programs = programs
        self.folder = Path(tempfile.mkdtemp(prefix="readbell-server-"))
        self._data = self.folder / "data"
        self._user = "postgres" if os.geteuid() == 0 else None
        if self._user is not None:
            shutil.chown(self.folder, self._user, self._user)
        self._run(
            "initdb", "--no-sync", "--encoding=UTF8", "--locale=C", f"--username={ADMINISTRATOR}"
        )
        self.port = free_port()
        settings = SETTINGS.format(
            port=self.port, folder=self.folder, fsync="on" if durable else "off"
        )
        with (self._data / "postgresql.conf").open("a") as file:
            file.write(settings)
        (self._data / "pg_hba.conf").write_text(WHO_MAY)
        self._guard = subprocess.Popen(
            ["/bin/sh", "-c", _GUARD, "guard", programs / "pg_ctl", self._data, self.folder],
            stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            cwd="/",
            start_new_session=True,  # Ctrl+C is for the tests; the guard ends after them
            user=self._user,
            group=self._user,
        )
        self._databases = 0
        self.start()
        self._make_template()

    @property
    def log(self) -> str:
        """What the server has logged so far."""
        return (self.folder / "log").read_text(encoding="utf-8", errors="replace")

    def start(self) -> None:
        """Start it; it answers when this returns."""
        self._run("pg_ctl", *PATIENTLY, f"--log={self.folder / 'log'}", "start")

    def stop(self, manner: Manner = "fast") -> None:
        """End it: `fast` says goodbye to everybody, `immediate` is as if it had crashed."""
        self._run("pg_ctl", *PATIENTLY, f"--mode={manner}", "stop")

    def restart(self, manner: Manner = "fast") -> None:
        """Stop it and start it again, on the same port."""
        self.stop(manner)
        self.start()

    def set(self, **settings: str) -> None:
        """Change settings of the whole server; those that take a restart want one."""
        with psycopg.connect(self.administrator("postgres"), autocommit=True) as connection:
            for name, value in settings.items():
                connection.execute(f"ALTER SYSTEM SET {name} = '{value}'".encode())
        self._run("pg_ctl", "reload")

    def address(
        self, database: str, *, user: str = APP, password: str | None = PASSWORD, port: int = 0
    ) -> str:
        """Return the address of `database` over TCP; `port` is that of a wire to the server."""
        secret = "" if password is None else f":{quote(password)}"
        return f"postgresql://{user}{secret}@127.0.0.1:{port or self.port}/{database}"

    def administrator(self, database: str) -> str:
        """Return the address of `database` for whoever may do everything, over the socket."""
        return f"postgresql://{ADMINISTRATOR}@/{database}?host={quote(str(self.folder), safe='')}&port={self.port}"

    def new_database(self, template: str = TEMPLATE) -> str:
        """Make a database like `template` and return its name; `template0` is an empty one."""
        self._databases += 1
        name = f"bay_{self._databases}"
        self._as_administrator(f"CREATE DATABASE {name} TEMPLATE {template}")
        return name

    def drop_database(self, name: str) -> None:
        """Take a database away, whoever is still connected to it."""
        self._as_administrator(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")

    def close(self) -> None:
        """End the server and take its folder away; the guard does both."""
        with suppress(OSError):
            assert self._guard.stdin is not None
            self._guard.stdin.close()
        self._guard.wait()
        shutil.rmtree(self.folder, ignore_errors=True)

    def _make_template(self) -> None:
        self._as_administrator(f"CREATE DATABASE {TEMPLATE} TEMPLATE template0")
        with psycopg.connect(self.administrator(TEMPLATE), autocommit=True) as connection:
            prepare(connection, APP)
            connection.execute(f"ALTER ROLE {APP} PASSWORD '{PASSWORD}'".encode())

    def _as_administrator(self, statement: str) -> None:
        """Do it; whoever was just disconnected may take more than the server's five seconds to be gone."""
        give_up = time.monotonic() + PATIENCE_SECONDS  # noqa: TID251  # a real process
        with psycopg.connect(self.administrator("postgres"), autocommit=True) as connection:
            while True:
                try:
                    connection.execute(statement.encode())
                except psycopg.errors.ObjectInUse:
                    if time.monotonic() > give_up:  # noqa: TID251
                        raise
                else:
                    return

    def _run(self, program: str, *arguments: str) -> None:
        done = subprocess.run(
            [self._programs / program, f"--pgdata={self._data}", *arguments],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            cwd="/",
            text=True,
            check=False,
            user=self._user,
            group=self._user,
        )
        assert done.returncode == 0, f"{program}: {done.stdout}"


_GUARD = 'read -r _; "$1" --pgdata="$2" --mode=immediate --wait stop; rm -rf "$3"'
"""Waits until the pipe to the tests is closed, by them or by their death."""


@dataclass(frozen=True, slots=True)
class Database:
    """A prepared database of one test."""

    server: Server
    name: str

    @property
    def address(self) -> str:
        """Where the program connects to, with the role that it is meant to have."""
        return self.server.address(self.name)

    @property
    def administrator(self) -> str:
        """Where whoever owns the tables connects to."""
        return self.server.administrator(self.name)

    def through(self, wire: Wire) -> str:
        """Return the address of the program by way of `wire`."""
        return self.server.address(self.name, port=wire.port)


def free_port() -> int:
    """Return a port on which nobody listens now, and which no connection is given by chance.

    While a server is down whoever tries to reach it could be given its very port, and reach itself.
    """
    for _ in range(TRIES):
        port = FIRST_PORT + secrets.randbelow(max(1_000, _ports_given_from() - FIRST_PORT))
        with suppress(OSError), socket.socket() as found:
            found.bind(("127.0.0.1", port))
            return port
    msg = f"no port is free between {FIRST_PORT} and {_ports_given_from()}"
    raise OSError(msg)


def _ports_given_from() -> int:
    """Return the first port that this system gives to whoever asks for any."""
    try:
        return int(GIVEN_PORTS.read_text(encoding="ascii").split()[0])
    except OSError:
        return USUALLY_GIVEN_FROM


@contextmanager
def running_server(*, durable: bool = False) -> Iterator[Server]:
    """Give a server; skip the test where none is installed, unless that is a fault here."""
    if server_programs() is None:
        if os.environ.get(MUST_HAVE):
            pytest.fail(MISSING)
        pytest.skip(MISSING)
    made = Server(durable=durable)
    try:
        yield made
    finally:
        made.close()


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    """Give the server of this process of tests; a test that stops it starts it again."""
    with running_server() as made:
        yield made


@pytest.fixture
def database(server: Server) -> Iterator[Database]:
    """Give a prepared database of this test's own."""
    name = server.new_database()
    yield Database(server, name)
    server.drop_database(name)


@pytest.fixture
def wire(server: Server) -> Iterator[Wire]:
    """Give a wire to the server that can be cut, held, and made to lose an answer."""
    made = Wire(server.port)
    yield made
    made.close()
