"""A PostgreSQL of one's own for a trial: in a folder, on this computer alone, for this user alone.

It is a real server with the real tables and roles, and what it stores is on the disk. Only
what a site's administrator does for everybody else is left out: backups, certificates, a
computer that is never switched off.
"""

from __future__ import annotations

import os
import secrets
import socket
import subprocess
from contextlib import contextmanager
from typing import TYPE_CHECKING
from urllib.parse import quote

from readbell.core.made_later import dataclass
from readbell.journal.errors import JournalError
from readbell.journal.postgres_programs import server_programs
from readbell.journal.postgres_schema import DEFAULT_ROLE, prepare

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

ADMINISTRATOR, DATABASE, HOST = "administrator", "bays", "127.0.0.1"
LONGEST_SOCKET = 103
"""Bytes that the name of a socket may have on every system that has sockets with names."""
_SETTINGS = """\
listen_addresses = '127.0.0.1'
port = {port}
unix_socket_directories = '{folder}'
logging_collector = off
log_parameter_max_length = 0
"""
_INCLUDED = "trial.conf"


@dataclass(frozen=True, slots=True)
class Trial:
    """A server in `folder`."""

    folder: Path
    programs: Path
    port: int

    @property
    def address(self) -> str:
        """Where stations join it; the password is in a file of this user alone."""
        passwords = quote(str(self._passwords), safe="")
        return f"postgresql://{DEFAULT_ROLE}@{HOST}:{self.port}/{DATABASE}?passfile={passwords}"

    @property
    def administrator(self) -> str:
        """Where this user may do everything."""
        folder = quote(str(self.folder), safe="")
        return f"postgresql://{ADMINISTRATOR}@/{DATABASE}?host={folder}&port={self.port}"

    @property
    def _passwords(self) -> Path:
        return self.folder / "passwords"

    @property
    def _data(self) -> Path:
        return self.folder / "data"

    def start(self) -> None:
        """Start it, made first where the folder is new; it answers when this returns.

        Raises:
            JournalError: one of its programs says that it cannot be; in their words.
        """
        is_new = not (self._data / "PG_VERSION").exists()
        if is_new:
            self._make()
        elif self._runs():
            msg = (
                f"{self.folder}: a server runs in it already: end it with Ctrl+C where it was "
                f"started, or with '{self.programs / 'pg_ctl'} -D {self._data} stop'"
            )
            raise JournalError(msg)
        folder = str(self.folder).replace("'", "''")
        (self._data / _INCLUDED).write_text(
            _SETTINGS.format(port=self.port, folder=folder), encoding="utf-8"
        )
        self._run(
            "pg_ctl", f"--pgdata={self._data}", "--wait", f"--log={self.folder / 'log'}", "start"
        )
        try:
            self._let_stations_in(is_new=is_new)
        except BaseException:
            self.stop()
            raise

    def stop(self) -> None:
        """Stop it; what was recorded stays in the folder."""
        self._run("pg_ctl", f"--pgdata={self._data}", "--wait", "--mode=fast", "stop")

    def _runs(self) -> bool:
        status = [str(self.programs / "pg_ctl"), f"--pgdata={self._data}", "status"]
        done = subprocess.run(status, capture_output=True, check=False)  # noqa: S603  # as below
        return done.returncode == 0

    def _make(self) -> None:
        self._run(
            "initdb",
            f"--pgdata={self._data}",
            "--encoding=UTF8",
            "--locale=C",
            f"--username={ADMINISTRATOR}",
            "--auth-local=trust",  # the socket lies in a folder that nobody else may enter
            "--auth-host=scram-sha-256",
        )
        with (self._data / "postgresql.conf").open("a", encoding="utf-8") as file:
            file.write(f"include = '{_INCLUDED}'\n")

    def _let_stations_in(self, *, is_new: bool) -> None:
        import psycopg
        from psycopg.sql import SQL, Identifier, Literal

        postgres = self.administrator.replace(f"/{DATABASE}?", "/postgres?")
        if is_new:
            with psycopg.connect(postgres, autocommit=True) as connection:
                connection.execute(SQL("CREATE DATABASE {}").format(Identifier(DATABASE)))
        # Anew each time: the port may be another one, and a broken-off start left half of it.
        password = secrets.token_urlsafe(24)
        with psycopg.connect(self.administrator, autocommit=True) as connection:
            prepare(connection, DEFAULT_ROLE)
            connection.execute(
                SQL("ALTER ROLE {} PASSWORD {}").format(Identifier(DEFAULT_ROLE), Literal(password))
            )
        self._passwords.unlink(missing_ok=True)
        handle = os.open(self._passwords, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(f"{HOST}:{self.port}:{DATABASE}:{DEFAULT_ROLE}:{password}\n")

    def _run(self, program: str, *arguments: str) -> None:
        with (self.folder / "said").open("w+", encoding="utf-8", errors="replace") as said:
            # Into a file: the server inherits it, and a pipe would be held open by it.
            done = subprocess.run(  # noqa: S603  # Debian's own program, with a folder
                [self.programs / program, *arguments],
                stdin=subprocess.DEVNULL,
                stdout=said,
                stderr=said,
                check=False,
            )
            if done.returncode:
                said.seek(0)
                words = " ".join(said.read().split()[-40:])
                msg = f"{self.folder}: {program} says: {words}"
                raise JournalError(msg)


@contextmanager
def trial(folder: Path, port: int | None) -> Iterator[Trial]:
    """Run a server in `folder`, on `port`, or on the one it had before, or on one that is free.

    Raises:
        JournalError: it cannot be run here; the sentence says what to do.
    """
    found = Trial(folder.resolve(), _programs(), _port(folder, port))
    _look_at(found)
    found.start()
    try:
        yield found
    finally:
        found.stop()


def _programs() -> Path:
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        msg = (
            "PostgreSQL does not run as root: do this as another user, "
            "with 'runuser -u USER -- readbell journal trial FOLDER'"
        )
        raise JournalError(msg)
    found = server_programs()
    if found is None:
        msg = "no PostgreSQL is installed here: on Debian, apt-get install postgresql"
        raise JournalError(msg)
    return found


def _port(folder: Path, port: int | None) -> int:
    if port is not None:
        return port
    try:
        return int((folder / "passwords").read_text(encoding="utf-8").split(":")[1])
    except (OSError, ValueError, IndexError):
        with socket.socket() as free:
            free.bind((HOST, 0))
            chosen: int = free.getsockname()[1]
        return chosen


def _look_at(found: Trial) -> None:
    folder = found.folder
    if len(os.fsencode(folder / f".s.PGSQL.{found.port}")) > LONGEST_SOCKET:
        msg = f"{folder}: the name is too long for a socket in it: take a shorter one"
        raise JournalError(msg)
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        is_ours = (folder / "data").exists() or not any(folder.iterdir())
    except OSError as error:
        msg = f"{folder}: {error.strerror}: choose a folder that you may make"
        raise JournalError(msg) from None
    if not is_ours:
        msg = f"{folder}: something else is in it: name a new folder"
        raise JournalError(msg)
    folder.chmod(0o700)
