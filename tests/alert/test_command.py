"""A site's sound command: told what calls and nothing else, never waited for, never two at once."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from typing import TYPE_CHECKING

import pytest

from patience import PATIENCE_SECONDS
from readbell.alert.command import SoundCommand
from readbell.core.board.sound import CallKind, Sound

if TYPE_CHECKING:
    from pathlib import Path

CLOSING = Sound(kind=CallKind.CLOSING, count=3)
SAY = """
import json, os, sys
told = {name: text for name, text in os.environ.items() if name.startswith("READBELL_")}
found = [sys.argv[2:], told, os.getsid(0) == os.getpid(), sys.stdin.read(), os.isatty(1)]
with open(sys.argv[1], "w") as file:
    json.dump(found, file)
"""
WAIT_FOR_EVER = """
import signal, subprocess, sys
signal.signal(signal.SIGTERM, signal.SIG_IGN)
with open(sys.argv[1], "a") as file:
    file.write("begun\\n")
signal.pause()
"""


def python(program: str, *arguments: object) -> list[str]:
    """The argument list that runs `program`."""
    return [sys.executable, "-c", program, *map(str, arguments)]


def test_the_command_is_told_what_calls_and_how_many(tmp_path: Path) -> None:
    """No label and no ID goes with it: it may page somebody over a network."""
    said = tmp_path / "said"
    command = SoundCommand(python(SAY, said, "$HOME; rm *"))
    command.run(CLOSING)
    command.wait()

    assert json.loads(said.read_text()) == [
        ["$HOME; rm *"],
        {"READBELL_ALERT": "closing", "READBELL_COUNT": "3"},
        True,
        "",
        False,
    ]
    assert command.fault is None


def test_there_are_never_two_at_once_and_none_is_waited_for(tmp_path: Path) -> None:
    """A long one would pile up with each further sound, and the bay would stand still."""
    said = tmp_path / "said"
    os.mkfifo(said)
    command = SoundCommand(python(WAIT_FOR_EVER, said), patience=PATIENCE_SECONDS)
    command.run(CLOSING)
    with said.open() as pipe:
        assert pipe.readline() == "begun\n"
        command.run(CLOSING)
        command.run(CLOSING)
        command.close()
        assert pipe.read() == ""
    command.wait()


def test_what_runs_too_long_is_ended_with_all_it_started(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A stuck command would be the last one that ever ran."""
    begun = threading.Event()

    class Begun(subprocess.Popen[bytes]):
        """A run for which patience counts once it hangs: a busy machine is slow to start programs."""

        def wait(self, timeout: float | None = None) -> int:
            """Wait for its end."""
            assert timeout is None or begun.wait(PATIENCE_SECONDS)
            return super().wait(timeout)

    monkeypatch.setattr(subprocess, "Popen", Begun)
    said = tmp_path / "said"
    os.mkfifo(said)
    starter = "import subprocess, sys; subprocess.run([sys.executable, '-c', *sys.argv[1:]])"
    command = SoundCommand(python(starter, WAIT_FOR_EVER, said), patience=0.5)
    command.run(CLOSING)
    with said.open() as pipe:
        assert pipe.readline() == "begun\n"
        begun.set()
        assert pipe.read() == "", "the end of the pipe comes only when nobody holds it any more"
    command.wait()

    assert command.fault == "the sound command failed: it ran longer than 0.5 s"


@pytest.mark.parametrize(
    ("arguments", "why"),
    [
        (["/no/such/player"], "/no/such/player: No such file or directory"),
        (["/"], "/: Permission denied"),
        (["a\0b"], "a\0b: ValueError"),
        (python("raise SystemExit(3)"), "it ended with status 3"),
    ],
    ids=["no file", "no program", "no name", "a status"],
)
def test_a_command_that_fails_says_why(arguments: list[str], why: str) -> None:
    """A lamp that stays dark is found by nobody."""
    command = SoundCommand(arguments)
    command.run(CLOSING)
    command.wait()

    assert command.fault == f"the sound command failed: {why}"


def test_a_command_that_works_again_has_no_fault(tmp_path: Path) -> None:
    """Whoever mended it must see that it is mended."""
    there = tmp_path / "there"
    program = f"import os; raise SystemExit(not os.path.exists({str(there)!r}))"
    command = SoundCommand(python(program))
    command.run(CLOSING)
    command.wait()
    assert command.fault is not None
    there.touch()
    command.run(CLOSING)
    command.wait()

    assert command.fault is None


def test_with_nothing_under_way_there_is_nothing_to_end() -> None:
    """A bay may close before anything ever sounded."""
    command = SoundCommand(["never-run"])
    command.wait()
    command.close()

    assert not [each for each in threading.enumerate() if each.name == "readbell-sound"]
