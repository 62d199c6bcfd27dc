"""Bell and command together: each rings where it is there, and either is enough."""

from __future__ import annotations

import os
import pty
import sys
from typing import TYPE_CHECKING

import pytest

from readbell.alert.alarm import Alarm
from readbell.alert.bell import BELL, TerminalBell
from readbell.alert.command import SoundCommand
from readbell.core.board.sound import CallKind, Sound

if TYPE_CHECKING:
    from pathlib import Path

SOUND = Sound(kind=CallKind.READ_NOW)


def test_both_sound_at_once() -> None:
    """A lamp in the corridor does not stand for the bell at the bench."""
    outer, inner = pty.openpty()
    command = SoundCommand([sys.executable, "-c", "raise SystemExit(1)"])
    alarm = Alarm(TerminalBell.find(os.ttyname(inner)), command)
    alarm.ring(SOUND)
    command.wait()

    assert os.read(outer, 10) == BELL
    assert alarm.fault == "the sound command failed: it ended with status 1"
    alarm.close()
    os.close(inner)
    os.close(outer)


@pytest.mark.skipif(sys.platform == "win32", reason="there the bell needs no terminal")
def test_what_is_not_there_is_no_sound(tmp_path: Path) -> None:
    """The board says so, or somebody trusts a bell that is none."""
    nothing = Alarm(None, None)
    nothing.ring(SOUND)
    nothing.close()

    assert not nothing.can_sound
    assert nothing.fault is None
    assert not Alarm(TerminalBell.find(tmp_path / "none"), None).can_sound
    assert Alarm(None, SoundCommand(["play"])).can_sound
