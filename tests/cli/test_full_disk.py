"""A file for which the disk has no room is not there: half a sheet is worse than none."""

from __future__ import annotations

import os
import resource
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from uncounted import UNCOUNTED

if TYPE_CHECKING:
    from pathlib import Path

    from cli.conftest import Command

ROOM = 512
"""Bytes that a file may have: a disk that fills up in the middle of it."""
ENVIRONMENT = os.environ | UNCOUNTED
"""What counts lines would want room for a file of its own."""


def with_little_room() -> None:
    """Let no file of this process grow further."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (ROOM, ROOM))


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("labels.pdf", "labels --from C1 --count 40 --pdf"),
        ("plan.svg", "plan --people 6 --picture"),
        ("plan.pdf", "plan --people 6 --picture"),
        ("plan.png", "plan --people 6 --picture"),
        ("day.toml", "scenario make --people 12 --out"),
    ],
)
def test_nothing_is_left_of_a_file_that_could_not_be_written(
    tmp_path: Path, name: str, what: str
) -> None:
    """It was printed, or stood in the way of the next try."""
    folder = tmp_path / "out"
    folder.mkdir()
    done = subprocess.run(
        [sys.executable, "-m", "readbell", *what.split(), str(folder / name)],
        capture_output=True,
        text=True,
        check=False,
        env=ENVIRONMENT,
        preexec_fn=with_little_room,  # the child does nothing else before it starts
    )

    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert name in done.stderr
    assert "File too large" in done.stderr
    assert list(folder.iterdir()) == []


def test_a_picture_stays_as_it_was_until_the_next_one_is_whole(tmp_path: Path) -> None:
    """It hangs on the wall."""
    picture = tmp_path / "plan.svg"
    picture.write_text("<svg/>", "utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "readbell", "plan", "--people", "6", "--picture", str(picture)],
        capture_output=True,
        check=False,
        env=ENVIRONMENT,
        preexec_fn=with_little_room,  # so too
    )

    assert done.returncode == 2
    assert picture.read_text("utf-8") == "<svg/>"


def test_a_journal_on_a_full_disk_is_not_said_to_be_none(tmp_path: Path, command: Command) -> None:
    """Whoever hears that it is no journal may throw it away."""
    journal = tmp_path / "kept.journal"
    household = "demo_scenarios/household_of_six.toml"
    assert command("rehearse", household, "--unattended", "--journal", journal).status == 0
    done = subprocess.run(
        [sys.executable, "-m", "readbell", "lot", "list", "--journal", str(journal)],
        capture_output=True,
        text=True,
        check=False,
        env=ENVIRONMENT,
        preexec_fn=with_little_room,  # so too
    )

    assert (done.returncode, done.stdout) == (2, "")
    assert "see to the room on its disk" in done.stderr
    assert "no journal" not in done.stderr
