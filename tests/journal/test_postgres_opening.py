"""Whatever is wrong with a server is told in one sentence, and no bay is opened on it by halves."""

from __future__ import annotations

import re
import shutil
import subprocess
from contextlib import closing
from typing import TYPE_CHECKING

import psycopg
import pytest

from readbell.journal.errors import JournalError, LinkLostError, NewerJournalError
from readbell.journal.postgres import PostgresJournal
from readbell.journal.postgres_address import read_address
from readbell.journal.postgres_opening import connect
from server import APP, PASSWORD, free_port

if TYPE_CHECKING:
    from pathlib import Path

    from server import Database, Server
    from wire import Wire

OLDER = (
    "an older readbell prepared this server: have its administrator run "
    "'readbell journal prepare' of this version"
)
NEWER = "a newer readbell prepared this server: use that version on every station"
WRONG = "seven small lambs"


def refusal(address: str) -> JournalError:
    """Return why the bay at `address` is not opened."""
    with pytest.raises(JournalError) as refused:
        PostgresJournal.open(read_address(address), "Harrow Quay", found=True)
    assert "\n" not in str(refused.value)
    assert PASSWORD not in str(refused.value)
    return refused.value


def as_owner(database: Database, *statements: str) -> None:
    """Have whoever owns the tables do something."""
    with psycopg.connect(database.administrator, autocommit=True) as owner:
        for each in statements:
            owner.execute(each.encode())


def told(database: Database) -> str:
    """Return the address as people are shown it."""
    return f"postgresql://{APP}@127.0.0.1:{database.server.port}/{database.name}"


def test_a_wrong_password_is_told(database: Database) -> None:
    """And where the right one belongs."""
    found = refusal(database.server.address(database.name, password=WRONG))

    assert str(found) == (
        f"{told(database)}: the server does not take this password: put the right one into ~/.pgpass"
    )
    assert not isinstance(found, LinkLostError)  # it will not be right in a moment


def test_a_missing_password_is_told(database: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody is asked for it while a board stands on the screen."""
    for name in ("PGPASSWORD", "PGPASSFILE"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("HOME", "/nonexistent")

    found = refusal(database.server.address(database.name, password=None))

    assert str(found).endswith(
        ": the server asks for a password: put it into ~/.pgpass, readable by you alone"
    )


def test_a_user_who_is_not_known_is_told_as_a_wrong_password(database: Database) -> None:
    """The server itself tells the two apart to nobody."""
    found = refusal(database.server.address(database.name, user="nobody"))

    assert "does not take this password" in str(found)


def test_a_database_that_is_not_there_is_told(server: Server) -> None:
    """A slip in the address."""
    found = refusal(server.address("bayz"))

    assert str(found).endswith("/bayz: there is no such database: check the name")


def test_a_server_that_is_not_there_is_a_lost_link() -> None:
    """It may be there in a moment, and the station goes on alone until then."""
    port = free_port()
    found = refusal(f"postgresql://bench@127.0.0.1:{port}/bays")

    assert isinstance(found, LinkLostError)
    assert str(found) == (
        f"postgresql://bench@127.0.0.1:{port}/bays: "
        "nobody answers there: check host and port, and that the server runs"
    )


def test_a_host_that_nobody_knows_is_told() -> None:
    """`.invalid` is kept free of hosts by RFC 2606."""
    found = refusal("postgresql://bench@db.invalid/bays")

    assert isinstance(found, LinkLostError)
    assert str(found) == (
        "postgresql://bench@db.invalid/bays: no such host is known here: "
        "check the name, and the network"
    )


def test_a_server_that_takes_the_call_and_says_nothing_is_a_lost_link(
    database: Database, wire: Wire
) -> None:
    """Three seconds, and no longer."""
    wire.hold()

    assert isinstance(refusal(database.through(wire)), LinkLostError)


def test_a_database_that_is_not_prepared_says_who_has_to_do_what(server: Server) -> None:
    """The person at the station is seldom the one who can."""
    name = server.new_database("template0")
    try:
        found = refusal(server.address(name))
    finally:
        server.drop_database(name)

    assert str(found).endswith(
        ": it is not prepared for shared bays: have its administrator run "
        "'readbell journal prepare ADDRESS'"
    )


def test_a_role_that_was_not_let_in_says_which_command_does_so(database: Database) -> None:
    """It names the role, for that is what the administrator has to type."""
    as_owner(database, f"REVOKE USAGE ON SCHEMA readbell FROM {APP}")

    assert str(refusal(database.address)).endswith(
        f": the role {APP} may not use what stands there: have the administrator run "
        f"'readbell journal prepare ADDRESS --app-role {APP}'"
    )


@pytest.mark.parametrize(
    ("statement", "named"),
    [
        ("GRANT UPDATE ON readbell.event TO {}", "UPDATE on readbell.event"),
        ("GRANT UPDATE (body) ON readbell.event TO {}", "UPDATE on readbell.event"),
        ("GRANT DELETE ON readbell.private TO {}", "DELETE on readbell.private"),
        ("GRANT TRUNCATE ON readbell.event TO {}", "TRUNCATE on readbell.event"),
        ("GRANT TRIGGER ON readbell.pin TO {}", "TRIGGER on readbell.pin"),
    ],
)
def test_a_role_that_may_do_too_much_is_refused_and_the_privilege_named(
    database: Database, statement: str, named: str
) -> None:
    """A record that its own program could rewrite proves nothing."""
    as_owner(database, statement.format(APP))

    assert str(refusal(database.address)).endswith(
        f": the role {APP} has {named}, which is too much: take the role that "
        "'readbell journal prepare' made, which may look and add"
    )


def test_the_administrator_does_not_run_a_station(database: Database) -> None:
    """The most common slip: the address that was at hand."""
    assert "has UPDATE on readbell.event, which is too much" in str(refusal(database.administrator))


@pytest.mark.parametrize(
    ("version", "kind", "words"),
    [
        (0, JournalError, OLDER),
        (2, NewerJournalError, NEWER),
    ],
)
def test_tables_of_another_version_are_refused(
    database: Database, version: int, kind: type[JournalError], words: str
) -> None:
    """Guessing at them could store what nobody can read again."""
    as_owner(
        database,
        "DELETE FROM readbell.schema_version",
        f"INSERT INTO readbell.schema_version VALUES ({version})",  # noqa: S608  # a number of our own
    )

    found = refusal(database.address)

    assert type(found) is kind
    assert str(found) == f"{told(database)}: {words}"


@pytest.mark.parametrize("setting", ["log_statement = 'all'", "log_min_duration_statement = 0"])
def test_a_server_whose_log_would_name_patients_is_refused(
    database: Database, setting: str
) -> None:
    """Prepared by somebody who was no superuser, it may well be so."""
    as_owner(
        database,
        f"ALTER ROLE {APP} IN DATABASE {database.name} SET log_parameter_max_length = -1",
        f"ALTER ROLE {APP} IN DATABASE {database.name} SET {setting}",
    )

    assert str(refusal(database.address)).endswith(
        ": the server's log would name patients: have a superuser run "
        f"'ALTER ROLE {APP} SET log_parameter_max_length = 0'"
    )


def test_each_setting_that_the_record_rests_on_is_made_for_the_session(
    database: Database,
) -> None:
    """Whatever the administrator has in mind for everybody else."""
    as_owner(
        database,
        f"ALTER DATABASE {database.name} SET synchronous_commit = off",
        f"ALTER DATABASE {database.name} SET default_transaction_isolation = 'repeatable read'",
        f"ALTER DATABASE {database.name} SET search_path = public",
    )

    with closing(connect(read_address(database.address))) as found:
        for name, value in (
            ("synchronous_commit", "on"),
            ("default_transaction_isolation", "read committed"),
            ("search_path", "pg_catalog, pg_temp"),
            ("statement_timeout", "4s"),
        ):
            assert found.execute(f"SHOW {name}".encode()).fetchone() == (value,)


def test_a_certificate_is_looked_at(server: Server, database: Database, tmp_path: Path) -> None:
    """With the site's own certificate the server is trusted; with another one, or by another name, not."""
    if shutil.which("openssl") is None:
        pytest.skip("openssl is not installed here: apt-get install openssl")
    ours, theirs = certificate(tmp_path, "db.test"), certificate(tmp_path, "else.test")
    for kind in ("crt", "key"):
        target = server.folder / f"server.{kind}"
        shutil.copy(tmp_path / f"db.test.{kind}", target)
        target.chmod(0o600)
        shutil.chown(target, server.folder.owner(), server.folder.group())
    server.set(
        ssl="on",
        ssl_cert_file=f"{server.folder}/server.crt",
        ssl_key_file=f"{server.folder}/server.key",
    )
    plain = f"{APP}:{PASSWORD.replace(' ', '%20')}"
    place = f"{server.port}/{database.name}?hostaddr=127.0.0.1"
    try:
        good = f"postgresql://{plain}@db.test:{place}&sslrootcert={ours}"
        with closing(PostgresJournal.open(read_address(good), "Harrow Quay", found=True)) as found:
            assert found.head().seq == 0
        for bad in (
            f"postgresql://{plain}@db.test:{place}&sslrootcert={theirs}",
            f"postgresql://{plain}@db.test:{place}&sslrootcert={tmp_path}/none.crt",
            f"postgresql://{plain}@other.test:{place}&sslrootcert={ours}",
        ):
            assert "its certificate is not one that this computer trusts" in str(refusal(bad))
    finally:
        server.set(ssl="off")
    assert "the server speaks no TLS" in str(refusal(good))


def certificate(folder: Path, name: str) -> Path:
    """Make a key and a certificate for `name` that it signed itself, and return the latter."""
    made = folder / f"{name}.crt"
    subprocess.run(
        [
            *("openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2"),
            *("-subj", f"/CN={name}", "-addext", f"subjectAltName=DNS:{name}"),
            *("-keyout", str(folder / f"{name}.key"), "-out", str(made)),
        ],
        check=True,
        capture_output=True,
    )
    return made


def test_every_sentence_is_one(database: Database) -> None:
    """No word of the server's own, which may hold what was sent to it, gets into one."""
    found = str(refusal(database.server.address(database.name, password=WRONG)))

    assert not re.search(r"FATAL|connection to server|DETAIL|HINT", found)
