"""No command for people: the program that a running bay starts to check its whole record.

Run as `python -m readbell.cli.checking JOURNAL [STATION]`; one JSON object a line says how it goes.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path

from readbell.cli.private_memory import keep_memory_private
from readbell.journal.checking import as_line, check_file
from readbell.journal.locked import KEYRING, is_locked

LEAST_URGENT = 19
"""It has the processor only while nobody else wants it."""


def main(journal: Path, station: str | None = None) -> None:
    """Check the journal at `journal`, and say how it goes for as long as somebody listens.

    Of a shared bay `station` is the one whose board a start takes up.
    """
    keep_memory_private()
    if is_locked(journal):
        # From whoever started this; a passphrase is never an argument that others could read.
        KEYRING.keep(journal, sys.stdin.readline().rstrip("\n"))
    if hasattr(os, "nice"):
        os.nice(LEAST_URGENT)
    with suppress(BrokenPipeError):
        check_file(journal, lambda found: print(as_line(found), flush=True), station)


if __name__ == "__main__":
    main(Path(sys.argv[1]), *sys.argv[2:3])
    # A last line that nobody takes any more is to make no noise.
    os._exit(0)
