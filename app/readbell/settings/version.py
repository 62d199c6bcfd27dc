"""The version of the program; it stands in pyproject.toml and nowhere else."""

from __future__ import annotations

import sys
from pathlib import Path

NAME, ENDING = "readbell-", ".dist-info"


def program_version() -> str:
    """Return the installed version, or "unpacked" for a copy that was never installed.

    It stands in the name of the folder that an installation leaves beside the program. The
    library reads it out of a file there, and every start would load a mail reader for that.
    """
    for folder in sys.path:
        for found in Path(folder).glob(f"{NAME}*{ENDING}"):
            return found.name.removeprefix(NAME).removesuffix(ENDING)
    return "unpacked"
