"""Looking on while another program runs the bay, with two real programs on one journal."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from patience import PATIENCE_SECONDS

if TYPE_CHECKING:
    from pathlib import Path


def program(*arguments: str) -> subprocess.Popen[str]:
    """Start the program with its output to be read."""
    return subprocess.Popen(
        [sys.executable, "-m", "readbell", *arguments],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )


def asked(bay: subprocess.Popen[str], **line: object) -> str:
    """Give the bay a line and return what it says to it."""
    assert bay.stdin is not None
    assert bay.stdout is not None
    bay.stdin.write(f"{json.dumps(line)}\n")
    bay.stdin.flush()
    return bay.stdout.readline()


@pytest.mark.skipif(os.name != "posix", reason="ends the onlooker by a signal")
def test_an_onlooker_sees_what_another_program_records(tmp_path: Path) -> None:
    """A supervisor at a second screen follows the bay and cannot hinder it."""
    journal = str(tmp_path / "bay.journal")
    bay = program("bay", "--journal", journal)
    assert bay.stdout is not None
    bay.stdout.readline()
    bay.stdout.readline()
    asked(bay, do="register-operator", id="op-1")
    watch = program("watch", "--journal", journal)
    assert watch.stdout is not None
    assert "Nothing runs." in watch.stdout.readline()
    # Whoever looks on has read and checked every event, from the first.
    assert watch.stdout.readline() == "Records checked: whole, 3 events.\n"
    asked(bay, do="adopt-assay", by="op-1", assay="respiratory-antigen-nasal", instructions="1")

    seen = watch.stdout.readline()
    watch.send_signal(signal.SIGINT)
    bay.communicate(timeout=PATIENCE_SECONDS)

    assert "Assay respiratory-antigen-nasal adopted" in seen
    assert watch.wait(PATIENCE_SECONDS) == 0
    assert bay.returncode == 0
    watch.communicate()
