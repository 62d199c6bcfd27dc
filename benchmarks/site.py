"""A computer of its own for each measurement: folders, environment, and how the program is started."""

from __future__ import annotations

import os
import sys
from pathlib import Path

REPOSITORY = Path(__file__).parents[1]
PROGRAM = (sys.executable, "-m", "readbell")
NOTED_PROGRAM = (sys.executable, "-m", "benchmarks.noted_program")
"""The program itself, which also notes when each alert was told."""


def environment(folder: Path, **more: str) -> dict[str, str]:
    """Return what a program finds around it: nothing of whoever runs the benchmark."""
    folders = {
        f"XDG_{each}_HOME": str(folder / each) for each in ("DATA", "STATE", "CACHE", "CONFIG")
    }
    return {
        "PATH": os.environ.get("PATH", ""),
        "HOME": str(folder),
        "LC_ALL": "C.UTF-8",
        "TERM": "xterm-256color",
        "PYTHONPATH": os.pathsep.join((str(REPOSITORY / "app"), str(REPOSITORY))),
        **folders,
        **more,
    }


def board(journal: Path, *, noted: bool = False) -> list[str]:
    """Return the command that opens the board of the bay in `journal`, without a sound."""
    return [*(NOTED_PROGRAM if noted else PROGRAM), "board", "--quiet", "--journal", str(journal)]
