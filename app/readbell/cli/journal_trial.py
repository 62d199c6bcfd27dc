"""Runs a PostgreSQL of one's own for a trial, until it is told to end."""

from __future__ import annotations

import json
import threading
from typing import TYPE_CHECKING

from readbell.cli.ending import listen_for_signals
from readbell.cli.exit_codes import DONE
from readbell.journal.postgres_address import need_driver
from readbell.journal.postgres_trial import trial

if TYPE_CHECKING:
    from pathlib import Path


def run_trial(folder: Path, port: int | None, *, as_json: bool) -> int:
    """Run a server in `folder`, say how stations join it, and stop it in the end.

    Raises:
        JournalError: it cannot be run here; the sentence says what to do.
    """
    need_driver()
    ending = threading.Event()
    listen_for_signals(ending.set)
    with trial(folder, port) as found:
        if as_json:
            said = {"address": found.address, "administrator": found.administrator}
            print(json.dumps(said | {"folder": str(found.folder)}), flush=True)
        else:
            print(
                f"A PostgreSQL runs in {found.folder}, for you on this computer alone.\n"
                "Begin a bay on it, or become one more station of it, with:\n"
                f"  readbell join '{found.address}' --bay Trial\n"
                "Ctrl+C stops it; what was recorded stays in the folder.",
                flush=True,
            )
        ending.wait()
    return DONE
