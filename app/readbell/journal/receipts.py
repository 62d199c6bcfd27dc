"""Notes of exports that could not be entered at once, since another program writes the record.

A receipt lies beside the journal and says which results left in which file, by opaque
ids alone: it names no patient and nobody who works here, so it may lie beside a locked
journal as well. Whichever program writes the journal next, or does so now, enters it and
takes it away.
"""

from __future__ import annotations

import os
import secrets
from contextlib import suppress
from typing import TYPE_CHECKING

from readbell.journal.disk import sync_folder
from readbell.journal.errors import JournalError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

MARK = ".exported-"
REFUSED = ".refused"
"""Ends the name of one that the bay did not take."""
OWNER_ONLY = 0o600


def leave_receipt(journal: Path, text: str) -> Path:
    """Put a receipt on the disk beside `journal`, whole or not at all, and return where.

    Raises:
        JournalError: it cannot be written there.
    """
    place = journal.with_name(f"{journal.name}{MARK}{secrets.token_hex(8)}")
    begun = place.with_name(f".{place.name}")
    try:
        handle = os.open(begun, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNER_ONLY)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        begun.replace(place)
        sync_folder(place.parent)
    except OSError as error:
        with suppress(OSError):
            begun.unlink(missing_ok=True)
        msg = f"{place}: {error.strerror}: what was exported cannot be noted"
        raise JournalError(msg) from None
    return place


def receipts_beside(journal: Path) -> Sequence[Path]:
    """Return the receipts that wait to be entered, in the order in which they were left.

    What left first is entered first, or a result would seem to have left as it was before.
    """
    found = []
    try:
        for each in os.scandir(journal.parent):
            if each.name.startswith(f"{journal.name}{MARK}") and not each.name.endswith(REFUSED):
                with suppress(FileNotFoundError):  # somebody has entered it meanwhile
                    found.append((each.stat().st_mtime_ns, each.name))
    except OSError:
        return ()  # the journal itself says what is wrong with its folder
    return [journal.with_name(name) for _, name in sorted(found)]


def read_receipt(place: Path) -> str | None:
    """Return what a receipt says; None: it is gone, or cannot be read."""
    try:
        return place.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return None


def take_away(place: Path) -> None:
    """Take a receipt away: what it says is on record."""
    with suppress(OSError):  # it is then found again, and known to be on record
        place.unlink(missing_ok=True)
        sync_folder(place.parent)


def set_aside(place: Path) -> None:
    """Keep a receipt that the bay refused, and look at it no more."""
    with suppress(OSError):
        place.rename(place.with_name(f"{place.name}{REFUSED}"))
