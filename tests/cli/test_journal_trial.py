"""`journal trial`: a server of one's own in a folder, by one command."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import psycopg
import pytest

from patience import PATIENCE_SECONDS
from readbell.journal.postgres_address import read_address
from readbell.journal.postgres_programs import server_programs
from server import MISSING, MUST_HAVE, free_port

if TYPE_CHECKING:
    from collections.abc import Iterator

    from cli.conftest import Command


ROOT = Path(__file__).parents[2]


@contextmanager
def trial_at(folder: Path, *arguments: str) -> Iterator[subprocess.Popen[str]]:
    """Run a trial in `folder`, as somebody who is not root."""
    if server_programs() is None:
        if os.environ.get(MUST_HAVE):
            pytest.fail(MISSING)
        pytest.skip(MISSING)
    user = "postgres" if os.geteuid() == 0 else None
    home = folder.parent
    environment = {
        "PATH": os.environ["PATH"],
        "HOME": str(home),
        "PYTHONDONTWRITEBYTECODE": "1",
        "PYTHONPATH": os.pathsep.join([str(ROOT / "app"), *sys.path]),
    }
    with subprocess.Popen(
        [python_for(user), "-m", "readbell", "journal", "trial", folder, *arguments, "--json"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=home,
        env=environment,
        user=user,
        group=user,
    ) as process:
        yield process


def python_for(user: str | None) -> str:
    """Return a Python of this version that `user` may run; skip where there is none."""
    version = f"python{sys.version_info.major}.{sys.version_info.minor}"
    for each in (sys.executable, shutil.which(version, path="/usr/local/bin:/usr/bin")):
        if each is not None and imports_readbell(each, user):
            return each
    pytest.skip("no Python that somebody other than root may run, or this folder is closed to them")


def imports_readbell(python: str, user: str | None) -> bool:
    """Say whether `user` may run this Python, and read the program."""
    probe = "import sys; sys.path.insert(0, sys.argv[1]); import readbell"
    try:
        tried = subprocess.run(
            [python, "-c", probe, ROOT / "app"], cwd="/", user=user, group=user, check=False
        )
    except PermissionError:
        return False
    return tried.returncode == 0


@pytest.fixture
def folder() -> Iterator[Path]:
    """A folder for a trial that does not exist yet, where its user may make it."""
    home = Path(tempfile.mkdtemp(prefix="readbell-trial-"))
    if os.geteuid() == 0 and server_programs() is not None:
        shutil.chown(home, "postgres", "postgres")
    yield home / "trial"
    shutil.rmtree(home, ignore_errors=True)


@pytest.mark.server
def test_a_trial_is_one_command_and_what_was_recorded_stays(folder: Path) -> None:
    """It is started, used, ended with Ctrl+C, and started again on the same port."""
    for turn in (1, 2):
        with trial_at(folder) as process:
            assert process.stdout is not None
            said = json.loads(process.stdout.readline())
            address = read_address(said["address"])
            # Here the password is read by another user, who would not be let at the file.
            password = (folder / "passwords").read_text(encoding="utf-8").strip().rsplit(":", 1)[1]
            given: dict[str, Any] = {**address.parameters, "password": password}
            del given["passfile"]
            with psycopg.connect(**given) as connection:
                connection.execute("INSERT INTO readbell.bay (name) VALUES (%s)", (f"Bay {turn}",))
                found = connection.execute(b"SELECT name FROM readbell.bay ORDER BY name")
                names = [name for (name,) in found.fetchall()]
            assert password not in said["address"]
            process.send_signal(signal.SIGINT)
            assert process.wait(PATIENCE_SECONDS) == 0
            assert process.stderr is not None
            assert process.stderr.read() == ""
        assert names == [f"Bay {each}" for each in range(1, turn + 1)]
        with pytest.raises(psycopg.OperationalError):
            psycopg.connect(**given)


@pytest.mark.server
def test_a_folder_with_something_else_in_it_is_left_alone(folder: Path) -> None:
    """A slip in the name must not put a server among somebody's papers."""
    folder.mkdir()
    (folder / "papers").write_text("dear")
    folder.chmod(0o777)

    with trial_at(folder) as process:
        assert process.wait(PATIENCE_SECONDS) == 2
        assert process.stderr is not None
        assert process.stderr.read() == f"{folder}: something else is in it: name a new folder\n"
    assert [path.name for path in folder.iterdir()] == ["papers"]


@pytest.mark.server
def test_a_second_trial_in_the_same_folder_says_how_to_end_the_first(folder: Path) -> None:
    """Somebody started it in another window, or it was killed and left its server."""
    with trial_at(folder, "--port", str(free_port())) as first:
        assert first.stdout is not None
        first.stdout.readline()
        with trial_at(folder) as second:
            assert second.wait(PATIENCE_SECONDS) == 2
            assert second.stderr is not None
            assert "a server runs in it already: end it with Ctrl+C" in second.stderr.read()
        first.send_signal(signal.SIGTERM)
        assert first.wait(PATIENCE_SECONDS) == 0


@pytest.mark.skipif(os.geteuid() != 0, reason="takes root to be refused as root")
def test_as_root_it_says_how_to_do_it_as_somebody_else(command: Command, tmp_path: Path) -> None:
    """The server itself refuses, in words that help nobody."""
    done = command("journal", "trial", tmp_path / "trial")

    assert (done.status, done.out) == (2, "")
    assert done.err.startswith("PostgreSQL does not run as root: do this as another user")
