"""Who looked into a record while another program wrote to it: noted beside it, and entered later.

Only one program writes to a journal, and a look must be on record all the same. So it is
put into a small file beside, on the disk before anything is shown, and whoever next takes
the bay up, or lays it down, enters it. There are keys in it and no identifiers.
"""

from __future__ import annotations

import errno
import json
import os
from contextlib import suppress
from typing import TYPE_CHECKING

from readbell.core.catalogue import BY_NAME, NAMES
from readbell.core.keeping.events import TraceOpened
from readbell.core.staff.events import RecordOpened
from readbell.journal.disk import sync_folder
from readbell.journal.errors import JournalError
from readbell.shapes import shape_of, write

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path
    from typing import Any

SUFFIX = ".opened"
TAKEN = ".taken"
"""Behind the name of a file that is being entered into the record."""
OWNER_ONLY = 0o600
Opening = RecordOpened | TraceOpened


def openings_beside(journal: Path) -> Path:
    """Return where looks into `journal` are noted while it is in use."""
    resolved = journal.resolve()
    return resolved.with_name(resolved.name + SUFFIX)


def note_opening(journal: Path, event: Opening) -> None:
    """Note that somebody looked into `journal`; it is on the disk when this returns.

    Raises:
        JournalError: it cannot be noted, and so nothing may be shown.
    """
    path = openings_beside(journal)
    line = f'{{"kind":"{NAMES[type(event)]}","event":{write(event)}}}\n'
    try:
        # Whoever enters what was noted moves the file away first: then it is noted once more.
        while not _add(path, line.encode()):
            pass
        sync_folder(path.parent)
    except OSError as error:
        msg = f"{path}: {error.strerror}: a look that cannot be noted is not taken"
        raise JournalError(msg) from None


def take_openings(journal: Path) -> tuple[Opening, ...]:
    """Return what was noted and is still to be entered; a line cut short was never shown.

    It stays beside the journal under another name until `forget_openings`, so that a power
    cut loses none of it.
    """
    path = openings_beside(journal)
    taken = path.with_name(path.name + TAKEN)
    with suppress(OSError):
        if not taken.exists():
            path.rename(taken)
    try:
        lines = taken.read_bytes().split(b"\n")[:-1]
    except OSError:
        return ()
    return tuple(_read(lines))


def forget_openings(journal: Path) -> None:
    """Let go of what was taken, once it is in the record."""
    path = openings_beside(journal)
    with suppress(OSError):  # then it is entered once more: better twice than not at all
        path.with_name(path.name + TAKEN).unlink(missing_ok=True)


def _add(path: Path, line: bytes) -> bool:
    """Add a line, on the disk when this returns; say whether the file still stands there."""
    handle = os.open(path, os.O_RDWR | os.O_APPEND | os.O_CREAT, OWNER_ONLY)
    try:
        if os.fstat(handle).st_size:
            os.lseek(handle, -1, os.SEEK_END)
            if os.read(handle, 1) != b"\n":
                line = b"\n" + line  # one that was cut short is not to take this one along
        if os.write(handle, line) < len(line):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        os.fsync(handle)
        written = os.fstat(handle)
    finally:
        os.close(handle)
    try:
        found = path.stat()
    except FileNotFoundError:
        return False
    return (found.st_dev, found.st_ino) == (written.st_dev, written.st_ino)


def _read(lines: list[bytes]) -> Iterator[Opening]:
    for each in lines:
        with suppress(ValueError, LookupError, TypeError):
            said = json.loads(each)
            kind = BY_NAME[said["kind"]]
            if kind in (RecordOpened, TraceOpened):
                yield shape_of(kind).read(said["event"], _no_private)


def _no_private(_: Any) -> Any:
    raise TypeError
