"""The real program, on a terminal of its own: it rings there, and says when it cannot."""

from __future__ import annotations

import contextlib
import json
import os
import pty
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from cli.conftest import OPERATOR
from readbell.alert.bell import TerminalBell

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command, Start

WITH_A_TERMINAL = """
import fcntl, os, sys, termios
os.setsid()
fcntl.ioctl(int(sys.argv[1]), termios.TIOCSCTTY, 0)
os.execv(sys.executable, [sys.executable, "-m", "readbell", *sys.argv[2:]])
"""
REGISTER = {"do": "register-operator", "id": OPERATOR}
TEST = {"do": "test-alarm", "by": OPERATOR}


def settings(tmp_path: Path, text: str) -> Path:
    """The settings file of this computer, with this text."""
    file = tmp_path / "CONFIG" / "readbell" / "settings.toml"
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text, encoding="utf-8")
    return file


def rung(tmp_path: Path, *options: str) -> tuple[list[bool], bytes]:
    """Test the alarm of a bay on a terminal: which lines it took, and what reached the terminal."""
    outer, inner = pty.openpty()
    bay = [*("bay", "--json", "--journal"), str(tmp_path / "bay.journal"), *options]
    said = b"".join(json.dumps(line).encode() + b"\n" for line in (REGISTER, TEST))
    done = subprocess.run(
        [sys.executable, "-c", WITH_A_TERMINAL, str(inner), *bay],
        input=said,
        capture_output=True,
        pass_fds=(inner,),
        check=True,
    )
    os.close(inner)
    reached = b""
    with contextlib.suppress(OSError):  # it comes behind all that reached the terminal
        while data := os.read(outer, 1_000):
            reached += data
    os.close(outer)
    answers = [line for line in map(json.loads, done.stdout.splitlines()) if "answer" in line]
    return [line["accepted"] for line in answers], reached


@pytest.mark.parametrize(
    ("options", "text", "accepted", "reached"),
    [
        ((), "", True, b"\a"),
        (("--quiet",), "", False, b""),
        ((), "bell = false", False, b""),
    ],
    ids=["as it comes", "quiet", "no bell"],
)
def test_a_bay_rings_on_the_terminal_it_was_started_on(
    tmp_path: Path, options: tuple[str, ...], text: str, accepted: bool, reached: bytes
) -> None:
    """Its input and output are pipes here: the alarm goes past both."""
    settings(tmp_path, text)

    assert rung(tmp_path, *options) == ([True, accepted], reached)


def test_a_bay_is_muted_given_back_and_tested_in_lines(start_bay: Start, tmp_path: Path) -> None:
    """Whatever the keys of a screen do."""
    settings(tmp_path, f'bell = false\nsound_command = ["{sys.executable}", "-c", "pass"]\n')
    bay = start_bay(tmp_path / "bay.journal")
    bay.must(**REGISTER)

    assert "sounds now" in bay.must(**TEST)["says"]
    assert bay.must(**TEST, heard=False)["says"].startswith("NO SOUND")
    assert bay.must(**TEST, heard=True)["says"] == "Alarm tested: heard."
    mute = {"do": "mute", "by": OPERATOR, "reason": "announcement"}
    assert bay.must(**mute, **{"for": "10:00"})["says"].startswith("MUTED until")
    assert not bay.ask(**mute, **{"for": "10:01"})["accepted"]
    assert bay.must(do="unmute", by=OPERATOR)["says"] == "The sound is back on."
    bay.end_of_input()
    assert bay.wait() == 0


def test_a_sound_command_that_fails_is_told_as_news(start_bay: Start, tmp_path: Path) -> None:
    """Nobody asked, and everybody must know."""
    settings(tmp_path, 'bell = false\nsound_command = ["/no/such/player"]\n')
    bay = start_bay(tmp_path / "bay.journal")
    bay.must(**REGISTER)
    bay.must(**TEST)
    while (news := bay.line()).get("news") != "alarm":
        pass

    assert news["says"].startswith("NO SOUND COMMAND: the sound command failed: /no/such/player")


def test_a_slip_in_the_settings_stops_the_bay_before_it_starts(
    command: Command, tmp_path: Path
) -> None:
    """A sound that was set and is not there would be missed too late."""
    file = settings(tmp_path, "sond = true\n")
    done = command("bay", "--journal", tmp_path / "bay.journal")

    assert done.status == 2
    assert (
        done.err == f"{file}: sond is not a key this file may have: take it out or mend its name\n"
    )


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (None, "not there: all is as it comes"),
        ("bell = true", "there"),
        ("bell = false", "none: no terminal to ring, and no sound command"),
        ('bell = false\nsound_command = ["play"]', "no bell and runs play; test it where you work"),
        ("sond = 1", "unknown until the settings are mended"),
    ],
)
def test_the_doctor_says_what_sounds(
    command: Command,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    text: str | None,
    says: str,
) -> None:
    """Where the file belongs, whether it is right, and what will ring."""
    if text is not None:
        settings(tmp_path, text)
    # Whether these tests have a terminal is nobody's affair.
    monkeypatch.setattr(TerminalBell, "find", lambda: TerminalBell(None))
    done = command("doctor", "--journal", tmp_path / "bay.journal")

    assert done.status == 0
    assert says in done.out
    assert str(tmp_path / "CONFIG" / "readbell" / "settings.toml") in done.out
