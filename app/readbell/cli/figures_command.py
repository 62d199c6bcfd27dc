"""How the program is started that counts the figures beside a board."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from readbell.journal.locked import KEYRING

if TYPE_CHECKING:
    from pathlib import Path


def figures_program(journal: Path) -> tuple[tuple[str, ...], str | None]:
    """Return the command for the record in `journal`, and what it is told first; None: nothing.

    A passphrase goes through a pipe: an argument could be read by others.
    """
    command = (sys.executable, "-m", "readbell.cli.figures_feed", str(journal))
    return command, KEYRING.of(journal)
