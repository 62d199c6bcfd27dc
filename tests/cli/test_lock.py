"""`lock` and `unlock`: by file or descriptor for scripts, every command works, no name in plain."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from cli.conftest import NASAL, SURNAME
from patience import PATIENCE_SECONDS
from readbell.cli.passphrase import DESCRIPTOR, FILE
from readbell.journal.locked import KEYRING

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from cli.conftest import Command, Start

PASSPHRASE = "many rivers run north"  # noqa: S105  # it opens what a test has made


@pytest.fixture(autouse=True)
def no_keys() -> Iterator[None]:
    """Each command of a test is a program of its own."""
    yield
    KEYRING._kept.clear()


@pytest.fixture
def key(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A file of its owner alone with the passphrase, named in the environment."""
    path = tmp_path / "passphrase"
    path.write_text(f"{PASSPHRASE}\n", encoding="utf-8")
    path.chmod(0o600)
    monkeypatch.setenv(FILE, str(path))
    return path


@pytest.fixture
def journal(start_bay: Start, tmp_path: Path) -> Path:
    """A bay with somebody in it, closed again; not locked yet."""
    path = tmp_path / "place" / "bay.journal"
    path.parent.mkdir()
    bay = start_bay(path, "--quiet")
    bay.must(do="register-operator", id="op-1")
    bay.must(do="adopt-assay", by="op-1", assay=NASAL, instructions="v1")
    bay.must(do="register-person", by="op-1", id=f"P-{SURNAME}")
    bay.end_of_input()
    assert bay.wait() == 0
    return path


def in_plain(journal: Path) -> list[str]:
    """The files beside the journal, and itself, in which the name can be read."""
    found = journal.parent.iterdir()
    return [each.name for each in found if SURNAME.encode() in each.read_bytes()]


@pytest.fixture
def locked(command: Command, journal: Path, key: Path) -> Path:  # named in the environment
    """The same bay, locked."""
    assert key.is_file()
    done = command("lock", "--journal", journal, "--lost-is-lost")
    assert done.status == 0, done.err
    KEYRING._kept.clear()
    return journal


@pytest.mark.usefixtures("key")
def test_it_is_said_beforehand_what_a_lost_passphrase_means(
    command: Command, journal: Path
) -> None:
    """And a script has to say that it knows."""
    done = command("lock", "--journal", journal)
    assert done.status == 2
    assert "loses the record" in done.err
    assert "left as it was" in done.err
    assert in_plain(journal) == [journal.name]


def test_every_command_works_on_a_locked_journal_and_none_leaves_a_name(
    command: Command, locked: Path, start_bay: Start, tmp_path: Path
) -> None:
    """Bay, watch, backup, restore, verify; and what they write is locked too."""
    bay = start_bay(locked, "--quiet")
    bay.must(do="register-person", by="op-1", id=f"P2-{SURNAME}")
    while_open = in_plain(locked)
    bay.end_of_input()
    assert bay.wait() == 0
    backup, restored = tmp_path / "place" / "backup", tmp_path / "place" / "restored"
    done = [
        command("watch", "--once", "--journal", locked),
        command("backup", "--journal", locked, "--to", backup),
        command("restore", "--from", backup, "--journal", restored),
        command("verify", "--journal", restored),
        command("lot", "list", "--journal", locked),
        command("shift", "list", "--journal", locked),
    ]

    assert [each.status for each in done] == [0] * len(done), [each.err for each in done]
    assert while_open == in_plain(locked) == []


def test_the_check_of_the_whole_record_is_told_the_passphrase_by_a_pipe(locked: Path) -> None:
    """It is a program of its own, and nobody may read it among its arguments."""
    done = subprocess.run(
        [sys.executable, "-m", "readbell.cli.checking", str(locked)],
        input=f"{PASSPHRASE}\n",
        capture_output=True,
        text=True,
        check=True,
        timeout=PATIENCE_SECONDS,
    )
    # A journal this short has no snapshot to be held against; its events were all read.
    assert "every event is whole" in json.loads(done.stdout.splitlines()[-1])["why"]


def test_a_wrong_passphrase_is_one_sentence(command: Command, locked: Path, key: Path) -> None:
    """Not a broken journal, and not a crash."""
    key.write_text("not the one it was\n", encoding="utf-8")
    for what in (["verify"], ["bay", "--quiet"], ["watch", "--once"], ["daysheet"]):
        done = command(*what, "--journal", locked)
        assert done.status == 2
        assert done.err.strip().count("\n") == 0
        assert "not its passphrase" in done.err


def test_without_anybody_to_ask_it_says_how_to_give_one(
    command: Command, locked: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A service has no terminal."""
    monkeypatch.delenv(FILE)
    done = command("verify", "--journal", locked)
    assert done.status == 2
    assert FILE in done.err


def test_a_passphrase_by_descriptor_is_read_once(
    command: Command, locked: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What starts later finds none."""
    monkeypatch.delenv(FILE)
    reads, writes = os.pipe()
    os.write(writes, f"{PASSPHRASE}\n".encode())
    os.close(writes)
    monkeypatch.setenv(DESCRIPTOR, str(reads))
    assert command("verify", "--journal", locked).status == 0
    assert DESCRIPTOR not in os.environ


@pytest.mark.parametrize(
    ("text", "mode", "says"),
    [
        (f"{PASSPHRASE}\n", 0o640, "chmod 600"),
        ("\n", 0o600, "its only line"),
        ("two\nlines\n", 0o600, "its only line"),
        (None, 0o600, "no passphrase can be read"),
    ],
)
def test_a_file_that_will_not_do_is_said_in_a_sentence(
    command: Command, locked: Path, key: Path, text: str | None, mode: int, says: str
) -> None:
    """Above all one that others may read."""
    if text is None:
        key.unlink()
    else:
        key.write_text(text, encoding="utf-8")
        key.chmod(mode)
    done = command("verify", "--journal", locked)
    assert done.status == 2
    assert says in done.err


def test_unlocked_it_is_as_it_was(command: Command, locked: Path) -> None:
    """And asks for nothing."""
    done = command("unlock", "--journal", locked)
    again = command("unlock", "--journal", locked)
    assert (done.status, again.status) == (0, 2)
    assert in_plain(locked) == [locked.name]
    assert command("verify", "--journal", locked).status == 0


def test_a_short_passphrase_is_refused(command: Command, journal: Path, key: Path) -> None:
    """Before anything is done."""
    key.write_text("short\n", encoding="utf-8")
    done = command("lock", "--journal", journal, "--lost-is-lost")
    assert done.status == 2
    assert "12 letters or more" in done.err


@pytest.mark.usefixtures("key")
def test_a_new_bay_can_be_locked_before_it_is_opened(
    command: Command, start_bay: Start, tmp_path: Path
) -> None:
    """The first name in it is never on the disk in plain."""
    path = tmp_path / "new" / "bay.journal"
    assert command("lock", "--journal", path, "--lost-is-lost").status == 0
    bay = start_bay(path, "--quiet")
    bay.must(do="register-operator", id=f"op-{SURNAME}")
    bay.end_of_input()
    assert bay.wait() == 0
    assert in_plain(path) == []


def test_what_is_not_there_is_not_unlocked(command: Command, tmp_path: Path) -> None:
    """A slip in the name."""
    done = command("unlock", "--journal", tmp_path / "none")
    assert done.status == 2
    assert "there is no journal" in done.err


def test_the_doctor_says_whether_a_journal_is_locked(
    command: Command, journal: Path, key: Path
) -> None:
    """It opens nothing and asks for nothing."""

    def line() -> str:
        done = command("doctor", "--journal", journal)
        assert (done.status, done.err) == (0, "")
        return next(each for each in done.out.splitlines() if each.startswith("journal"))

    assert line().endswith("(there, not locked)")
    assert command("lock", "--journal", journal, "--lost-is-lost").status == 0
    key.unlink()
    KEYRING.drop(journal)
    assert line().endswith("(there, locked: under a passphrase)")
