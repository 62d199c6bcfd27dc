"""Where acts go while the journal cannot be written: a plain file that is joined later.

The file's first line names the last durable end of the journal, and each event
after it is chained as it would have been there. If that end still is the last,
the events are appended as they are; if not, the file stays a branch, to be
settled by a supervisor. Plain lines, because this file must work where the
database does not; one line an append, so that an act is there whole or not.
"""

from __future__ import annotations

import errno
import json
import os
import shutil
from contextlib import suppress
from dataclasses import dataclass, field
from glob import escape
from typing import TYPE_CHECKING

from readbell.journal.disk import sync_folder
from readbell.journal.errors import (
    BrokenChainError,
    ConflictError,
    JournalError,
    NotWrittenError,
)
from readbell.journal.locked import KEYRING
from readbell.journal.record import Head, PrivateRow, Record, link

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from readbell.journal.journal import Journal

MARK = ".continuation-"
OWNER_ONLY = 0o600
ROOM_BYTES = 8 * 1024 * 1024
"""A place with less free disk than this is tried last."""


def continuations_of(journal: Path, places: Sequence[Path]) -> list[Path]:
    """Return the continuation files of `journal` in `places`, the oldest first."""
    found = {
        path.resolve()
        for place in (journal.parent, *places)
        if place.is_dir()
        for path in place.glob(f"{escape(journal.name)}{MARK}*")
    }
    return sorted(found, key=lambda path: (_base_seq(path), path.name))


@dataclass(frozen=True, slots=True, kw_only=True)
class Continued:
    """What a continuation file holds."""

    base: Head
    records: tuple[Record, ...]
    journal: str = field(default="", compare=False)
    """Where the journal stood that it goes on from."""

    @property
    def end(self) -> Head:
        """The end of the record, this file included."""
        return self.records[-1].head if self.records else self.base


def lying_beside(journal: Journal, path: Path, places: Sequence[Path]) -> list[Path]:
    """Return the files with events of the journal at `path` that it does not hold itself."""
    found = []
    for file in continuations_of(path, places):
        try:
            continued = read_continuation(file)
        except JournalError:
            found.append(file)  # unreadable, and so perhaps the only copy
            continue
        at_home = {each.hash for each in journal.records(continued.base.seq)}
        if any(each.hash not in at_home for each in continued.records):
            found.append(file)
    return found


class Continuation:
    """One continuation file, open for more lines."""

    def __init__(self, path: Path, base: Head) -> None:
        self.path = path
        self.base = base
        self.records: list[Record] = []

    @property
    def end(self) -> Head:
        """The end of the record, this file included."""
        return self.records[-1].head if self.records else self.base

    @classmethod
    def begin(cls, journal: Path, places: Sequence[Path], base: Head, token: str) -> Continuation:
        """Start a file for `journal` in the best of its folder and `places`.

        Raises:
            NotWrittenError: none of them can be written.
        """
        if KEYRING.of(journal) is not None:
            # It would hold in plain what the journal was locked for.
            msg = "it is locked, and nothing of it is written beside it in plain"
            raise NotWrittenError(msg)
        first = json.dumps({"seq": base.seq, "hash": base.hex, "journal": str(journal)})
        for place in sorted((journal.parent, *places), key=_is_nearly_full):
            path = place / f"{journal.name}{MARK}{token}"
            try:
                if place != journal.parent:  # a disk that was pulled out is not made up again
                    place.mkdir(parents=True, exist_ok=True)
                _add_line(path, first, os.O_CREAT | os.O_EXCL)
                sync_folder(place)
            except FileExistsError:
                continue
            except OSError:
                with suppress(OSError):
                    path.unlink(missing_ok=True)
                continue
            return cls(path, base)
        msg = "no place is left to write to"
        raise NotWrittenError(msg)

    @classmethod
    def resume(cls, path: Path, continued: Continued) -> Continuation:
        """Go on with a file that an earlier run began."""
        resumed = cls(path, continued.base)
        resumed.records = list(continued.records)
        return resumed

    def append(self, records: Sequence[Record]) -> None:
        """Put `records` on the disk, all in one line.

        Raises:
            ConflictError: they do not follow from the end of this file.
            NotWrittenError: they did not get there.
        """
        if records[0].seq != self.end.seq + 1 or records[0].hash != link(
            self.end.hash, records[0].body
        ):
            msg = "the continuation file has gone on since"
            raise ConflictError(msg)
        try:
            _add_line(self.path, _line(records))
        except OSError as error:
            raise NotWrittenError(error.strerror or type(error).__name__) from None
        self.records.extend(records)


def read_continuation(path: Path) -> Continued:
    """Return what `path` holds; a last line cut short by a crash was never acknowledged.

    Raises:
        JournalError: it is no continuation file, or it was changed.
    """
    try:
        found = path.read_bytes()
    except OSError as error:
        msg = f"{path}: it cannot be read ({type(error).__name__}): keep it and tell a supervisor"
        raise JournalError(msg) from None
    lines = found.split(b"\n")[:-1]
    if not lines:
        # Cut off as it was begun: nothing in it was ever acknowledged.
        return Continued(base=Head(), records=())
    try:
        first = json.loads(lines[0])
        base = Head(seq=first["seq"], hash=bytes.fromhex(first["hash"]))
        return Continued(
            base=base, records=tuple(_chained(base, lines[1:])), journal=first["journal"]
        )
    except (ValueError, LookupError, TypeError) as error:
        msg = f"{path}: it was changed or cut ({type(error).__name__}): tell a supervisor"
        raise JournalError(msg) from None


def _add_line(path: Path, line: str, flags: int = 0) -> None:
    """Add a whole line and wait until it is on the disk; or add nothing."""
    handle = os.open(path, os.O_WRONLY | os.O_APPEND | flags, OWNER_ONLY)
    try:
        before = os.fstat(handle).st_size
        try:
            payload = f"{line}\n".encode()
            if os.write(handle, payload) < len(payload):
                _disk_is_full()
            os.fsync(handle)
        except OSError:
            os.ftruncate(handle, before)
            raise
    finally:
        os.close(handle)


def _disk_is_full() -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def _is_nearly_full(place: Path) -> bool:
    try:
        return shutil.disk_usage(place).free < ROOM_BYTES
    except OSError:
        return False


def _base_seq(path: Path) -> int:
    try:
        return read_continuation(path).base.seq
    except JournalError:
        return -1


def _line(records: Sequence[Record]) -> str:
    return json.dumps(
        [
            {
                "seq": record.seq,
                "body": record.body,
                "hash": record.hash.hex(),
                "private": [[row.key, row.salt, row.value] for row in record.private],
            }
            for record in records
        ],
        separators=(",", ":"),
    )


def _chained(base: Head, lines: Sequence[bytes]) -> Iterator[Record]:
    before = base
    for found in (each for line in lines for each in json.loads(line)):
        record = Record(
            seq=found["seq"],
            body=found["body"],
            hash=bytes.fromhex(found["hash"]),
            private=tuple(
                PrivateRow(key=key, salt=salt, value=value) for key, salt, value in found["private"]
            ),
        )
        if record.seq != before.seq + 1 or record.hash != link(before.hash, record.body):
            raise BrokenChainError(before.seq + 1, "it does not follow from the one before")
        before = record.head
        yield record
