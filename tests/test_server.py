"""The PostgreSQL of the tests: missed where it must be there, and never left running."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from contextlib import closing, suppress
from pathlib import Path

import psycopg
import pytest

import server as server_of_tests
from patience import PATIENCE_SECONDS
from server import MISSING, MUST_HAVE, Server, running_server

TESTS = Path(__file__).parent
LONE = """
import os, signal
from server import Server
found = Server()
print(found.administrator("postgres"), flush=True)
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.fixture
def none_installed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let it seem as if no server were installed here."""
    monkeypatch.setattr(server_of_tests, "server_programs", lambda: None)


@pytest.mark.usefixtures("none_installed")
def test_where_none_is_installed_a_test_is_skipped_and_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A contributor without one can do everything else."""
    monkeypatch.delenv(MUST_HAVE, raising=False)

    with pytest.raises(pytest.skip.Exception) as skipped, running_server():
        pass

    assert str(skipped.value) == MISSING


@pytest.mark.usefixtures("none_installed")
def test_where_one_must_be_there_its_absence_is_a_failure(monkeypatch: pytest.MonkeyPatch) -> None:
    """In CI a skipped test would be a promise that nobody keeps."""
    monkeypatch.setenv(MUST_HAVE, "1")

    with pytest.raises(pytest.fail.Exception) as failed, running_server():
        pass

    assert str(failed.value) == MISSING


def test_a_server_ends_with_the_process_that_began_it_even_if_that_is_killed(
    server: Server,
) -> None:
    """Tests are broken off all the time; a machine must not fill up with servers of theirs."""
    del server  # only so that this is skipped where there is none
    with subprocess.Popen(
        [sys.executable, "-c", LONE],
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONPATH": os.pathsep.join([str(TESTS), *sys.path])},
    ) as lone:
        assert lone.stdout is not None
        address = lone.stdout.readline().strip()
        assert lone.wait(timeout=PATIENCE_SECONDS) == -signal.SIGKILL
    with suppress(psycopg.OperationalError), closing(psycopg.connect(address)) as left:
        # It may take a moment to end; whoever is connected then is thrown out.
        for _ in left.notifies(timeout=PATIENCE_SECONDS):
            pass

    with pytest.raises(psycopg.OperationalError):
        psycopg.connect(address)
