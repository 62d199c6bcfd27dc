"""Where acts go while the journal cannot be written: a plain file that is joined later.

The file's first line names the last durable end of the journal, and each event
after it is chained as it would have been there. If that end still is the last,
the events are appended as they are; if not, the file stays a branch, to be
settled by a supervisor. Plain lines, because this file must work where the
database does not.
"""

from __future__ import annotations

import errno
import json
import os
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING

from readbell.journal.disk import sync_folder
from readbell.journal.errors import BrokenChainError, JournalError, NotWrittenError
from readbell.journal.record import Head, PrivateRow, Record, link

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

MARK = ".continuation-"
OWNER_ONLY = 0o600


def continuations_of(journal: Path, places: Sequence[Path]) -> list[Path]:
    """Return the continuation files of `journal` in `places`, the oldest first."""
    found = {
        path.resolve()
        for place in (journal.parent, *places)
        if place.is_dir()
        for path in place.glob(f"{journal.name}{MARK}*")
    }
    return sorted(found, key=lambda path: (_base_seq(path), path.name))


@dataclass(frozen=True, slots=True, kw_only=True)
class Continued:
    """What a continuation file holds."""

    base: Head
    records: tuple[Record, ...]


class Continuation:
    """One continuation file, open for more lines."""

    def __init__(self, path: Path, base: Head) -> None:
        self.path = path
        self.base = base
        self.records: list[Record] = []

    @classmethod
    def begin(cls, journal: Path, places: Sequence[Path], base: Head, token: str) -> Continuation:
        """Start a file for `journal` in the first of `places` that can be written.

        Raises:
            NotWrittenError: none can.
        """
        for place in (journal.parent, *places):
            path = place / f"{journal.name}{MARK}{token}"
            begun = cls(path, base)
            try:
                place.mkdir(parents=True, exist_ok=True)
                begun.write([json.dumps({"seq": base.seq, "hash": base.hex})])
                sync_folder(place)
            except OSError:
                with suppress(OSError):
                    path.unlink(missing_ok=True)
                continue
            return begun
        msg = "no place is left to write to"
        raise NotWrittenError(msg)

    def append(self, records: Sequence[Record]) -> None:
        """Put `records` on the disk.

        Raises:
            NotWrittenError: they did not get there.
        """
        try:
            self.write([_line(each) for each in records])
        except OSError as error:
            raise NotWrittenError(error.strerror or type(error).__name__) from None
        self.records.extend(records)

    def write(self, lines: Sequence[str]) -> None:
        """Add whole lines and wait until they are on the disk; or add nothing."""
        flags = os.O_WRONLY | os.O_CREAT | os.O_APPEND
        handle = os.open(self.path, flags, OWNER_ONLY)
        try:
            before = os.fstat(handle).st_size
            try:
                _write_all(handle, "".join(f"{line}\n" for line in lines).encode())
                os.fsync(handle)
            except OSError:
                os.ftruncate(handle, before)
                raise
        finally:
            os.close(handle)


def read_continuation(path: Path) -> Continued:
    """Return what `path` holds; a last line cut short by a crash was never acknowledged.

    Raises:
        JournalError: it is no continuation file, or it was changed.
    """
    try:
        text = path.read_bytes().decode()
    except (OSError, UnicodeDecodeError) as error:
        msg = f"{path}: it cannot be read ({type(error).__name__}): keep it and tell a supervisor"
        raise JournalError(msg) from None
    whole = [line for line in text.splitlines(keepends=True) if line.endswith("\n")]
    if not whole:
        # Cut off as it was begun: nothing in it was ever acknowledged.
        return Continued(base=Head(), records=())
    try:
        first = json.loads(whole[0])
        base = Head(seq=first["seq"], hash=bytes.fromhex(first["hash"]))
        records = tuple(_chained(base, whole[1:]))
    except (ValueError, LookupError, TypeError) as error:
        msg = f"{path}: it was changed or cut ({type(error).__name__}): tell a supervisor"
        raise JournalError(msg) from None
    return Continued(base=base, records=records)


def _write_all(handle: int, payload: bytes) -> None:
    if os.write(handle, payload) < len(payload):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def _base_seq(path: Path) -> int:
    try:
        return read_continuation(path).base.seq
    except JournalError:
        return -1


def _line(record: Record) -> str:
    return json.dumps(
        {
            "seq": record.seq,
            "body": record.body,
            "hash": record.hash.hex(),
            "private": [[row.key, row.salt, row.value] for row in record.private],
        },
        ensure_ascii=False,
        separators=(",", ":"),
    )


def _chained(base: Head, lines: Sequence[str]) -> Iterator[Record]:
    before = base
    for line in lines:
        found = json.loads(line)
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
