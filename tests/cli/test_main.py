"""The command itself: its version, its help, and what it says when it fails."""

from __future__ import annotations

import subprocess
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from patience import PATIENCE_SECONDS
from readbell.cli.main import parser
from readbell.settings.version import program_version

if TYPE_CHECKING:
    from cli.conftest import Command, Start

COMMANDS = (
    "board",
    "rehearse",
    "scenario",
    "debrief",
    "bay",
    "watch",
    "operator",
    "lot",
    "labels",
    "paper",
    "shift",
    "daysheet",
    "export",
    "figures",
    "quality",
    "meaning",
    "tell",
    "slip",
    "review",
    "temperature",
    "capacity",
    "plan",
    "assay",
    "trace",
    "archive",
    "erase",
    "verify",
    "lock",
    "unlock",
    "backup",
    "restore",
    "join",
    "journal",
    "doctor",
)


def test_the_version_is_said_at_once(command: Command) -> None:
    """For whoever reports a fault."""
    done = command("--version")

    assert (done.status, done.out) == (0, f"readbell {program_version()}\n")


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_explains_itself(command: Command, name: str) -> None:
    """Its first line says what it is for."""
    done = command(name, "--help")

    assert done.status == 0
    assert done.out.startswith(f"usage: readbell {name} ")


def test_every_command_is_named_here() -> None:
    """A new one must find its way into this list."""
    (action,) = (each for each in parser()._actions if each.metavar == "COMMAND")

    assert action.choices is not None
    assert set(action.choices) == set(COMMANDS)


def test_of_the_commands_only_the_one_that_is_asked_for_is_loaded() -> None:
    """A board would wait for thirty files of others, and for the words of their options."""
    told = (
        "import sys\n"
        "from readbell.cli.main import COMMANDS, parser\n"
        "parser('lock')\n"
        "print(*(each for each in COMMANDS if f'readbell.cli.{each}' in sys.modules))\n"
    )
    found = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)

    assert found.stdout.split() == ["lock"]


@pytest.mark.parametrize("arguments", [[], ["fly"], ["verify", "--no-such"]])
def test_a_wrong_command_line_ends_in_two(command: Command, arguments: list[str]) -> None:
    """Nothing on standard output, the usage on the other channel."""
    done = command(*arguments)

    assert (done.status, done.out) == (2, "")
    assert "usage: readbell" in done.err


@pytest.mark.parametrize("name", ["backup", "restore"])
def test_what_a_command_needs_is_asked_for(command: Command, name: str) -> None:
    """A backup to nowhere is no backup."""
    assert command(name).status == 2


def test_a_file_that_is_no_journal_is_refused_in_one_sentence(
    command: Command, tmp_path: Path
) -> None:
    """Whichever command is given it."""
    path = tmp_path / "list.txt"
    path.write_text("this is a shopping list and no journal at all")

    for arguments in (
        ("watch", "--once", "--journal", path),
        ("backup", "--journal", path, "--to", tmp_path / "copy"),
        ("bay", "--journal", path),
    ):
        done = command(*arguments)
        assert (done.status, done.out) == (2, "")
        assert done.err.startswith(f"{path}: ")
        assert len(done.err.splitlines()) == 1
    assert path.read_text() == "this is a shopping list and no journal at all"


def test_a_rehearsals_journal_is_no_live_one(
    command: Command, scenario: Path, tmp_path: Path
) -> None:
    """Practice stays practice: one sentence, and what to name instead."""
    path = tmp_path / "kept.journal"
    command("rehearse", scenario, "--unattended", "--json", "--journal", path)
    done = command("bay", "--journal", path)

    assert (done.status, done.out) == (2, "")
    assert "stays so for ever: name another file for a live one" in done.err


def test_an_unknown_time_zone_ends_a_bay_in_one_sentence(command: Command, tmp_path: Path) -> None:
    """Before anything is founded in no zone at all."""
    done = command("bay", "--journal", tmp_path / "new.journal", "--timezone", "Mars/Base")

    assert (done.status, done.out) == (2, "")
    assert done.err == ("time zone 'Mars/Base' is not known: use a name such as Europe/London\n")


def test_a_failing_thread_names_nobody(
    command: Command, capsys: pytest.CaptureFixture[str]
) -> None:
    """The text of an error may hold what somebody typed: only its kind and place are told."""
    command("--version")

    def fail() -> None:
        raise ValueError(*["Ada Quillfeather"])

    thread = threading.Thread(target=fail)
    thread.start()
    thread.join()
    said = capsys.readouterr().err

    assert said.startswith("readbell failed (ValueError). ")
    assert "Quillfeather" not in said


def test_a_reader_that_has_gone_is_no_crash(scenario: Path) -> None:
    """`readbell rehearse ... | head -1` ends quietly."""
    process = subprocess.Popen(
        [sys.executable, "-m", "readbell", "rehearse", str(scenario), "--unattended"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.readline()
    process.stdout.close()
    complaint = process.stderr.read()
    process.stderr.close()

    assert process.wait(PATIENCE_SECONDS) in (0, 3)
    assert complaint == b""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no such disk here")
@pytest.mark.parametrize("what", [("assay",), ("assay", "--json"), ("doctor",)])
def test_an_output_that_is_full_is_one_sentence(what: tuple[str, ...]) -> None:
    """`readbell ... > file` on a full disk: nothing failed but the file."""
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "readbell", *what],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )

    assert done.returncode == 3
    assert done.stderr.startswith("standard output: No space left on device: ")
    assert done.stderr.count("\n") == 1


@pytest.mark.parametrize("closed", ["<&-", ">&-", "2>&-", "<&- >&- 2>&-"])
def test_a_program_without_a_stream_does_its_work(closed: str) -> None:
    """Services are started so; what is for one channel never goes to another."""
    done = subprocess.run(
        ["/bin/sh", "-c", f'"$0" -m readbell assay --json {closed}', sys.executable],
        capture_output=True,
        text=True,
        check=False,
    )

    assert (done.returncode, done.stderr) == (0, "")
    wrong = subprocess.run(
        ["/bin/sh", "-c", f'"$0" -m readbell assay nowhere.toml {closed}', sys.executable],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (wrong.returncode, wrong.stdout) == (2, "")


def test_the_doctor_says_what_the_computer_gives(command: Command, tmp_path: Path) -> None:
    """One line a thing: clocks, disk, database, places."""
    done = command("doctor", "--journal", tmp_path / "bay.journal")
    names = [line.split("  ")[0] for line in done.out.splitlines()]

    assert (done.status, done.err) == (0, "")
    assert names == [
        "program",
        "database",
        "clock",
        "wall clock",
        "journal",
        "disk",
        "spills to",
        "own assays",
        "settings",
        "keeping",
        "sound",
    ]
    assert "not there yet" in done.out


def test_somebody_can_look_on_while_a_bay_runs(
    command: Command, start_bay: Start, tmp_path: Path
) -> None:
    """Once, for a glance: where every strip stands."""
    path = tmp_path / "bay.journal"
    bay = start_bay(path)
    bay.prepare()
    done = command("watch", "--once", "--journal", path)

    assert (done.status, done.err) == (0, "")
    assert "C1  P-Quillfeather  labelled  next: Buffer into the tube" in done.out


@pytest.mark.parametrize(
    ("name", "said"),
    [("list.txt", "there, and no journal"), (".", "no file: nothing"), ("new", "not there yet")],
)
def test_the_doctor_says_what_is_no_journal(
    command: Command, tmp_path: Path, name: str, said: str
) -> None:
    """It was called there and not locked, whatever it was."""
    (tmp_path / "list.txt").write_text("apples, pears and whatever else is wanted", "utf-8")
    done = command("doctor", "--journal", tmp_path / name)

    assert done.status == 0
    assert said in done.out
