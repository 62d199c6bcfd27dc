"""Where acts go while the journal cannot be written: a file beside it that is joined later.

The file's first line names the last durable end of the journal, and each event
after it is chained as it would have been there. If that end still is the last,
the events are appended as they are; if not, the file stays a branch, to be
settled by a supervisor. Plain lines, because this file must work where the
database does not; one line an append, so that an act is there whole or not.
Beside a journal under a passphrase the lines stand in a small database of their
own under the same one: nothing of it is ever written beside it in plain.
"""

from __future__ import annotations

import errno
import json
import os
import shutil
from contextlib import suppress
from dataclasses import field
from glob import escape
from typing import TYPE_CHECKING, Protocol

from readbell.core.made_later import dataclass
from readbell.journal.disk import sync_folder
from readbell.journal.errors import (
    BrokenChainError,
    ConflictError,
    JournalError,
    NotWrittenError,
)
from readbell.journal.locked import KEYRING, WrongKeyError, is_locked
from readbell.journal.locked_lines import (
    OF_A_DATABASE,
    LockedLines,
    read_locked_lines,
    remove_lines,
)
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
    key = KEYRING.of(journal)
    return sorted(_files(journal, places), key=lambda path: (_base_seq(path, key), path.name))


def traces_of(journal: Path, places: Sequence[Path]) -> frozenset[tuple[Path, int, int]]:
    """Return what changes whenever a continuation file does: cheap to ask, as none is opened."""
    found = set()
    for path in _files(journal, places):
        with suppress(OSError):  # it has just come home
            stat = path.stat()
            found.add((path, stat.st_mtime_ns, stat.st_size))
    return frozenset(found)


def _files(journal: Path, places: Sequence[Path]) -> set[Path]:
    return {
        path.resolve()
        for place in (journal.parent, *places)
        if place.is_dir()
        for path in place.glob(f"{escape(journal.name)}{MARK}*")
        if not path.name.endswith(OF_A_DATABASE)
    }


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
            continued = read_continuation(file, KEYRING.of(path))
        except JournalError:
            found.append(file)  # unreadable, and so perhaps the only copy
            continue
        at_home = {each.hash for each in journal.records(continued.base.seq)}
        if any(each.hash not in at_home for each in continued.records):
            found.append(file)
    return found


class Continuation:
    """One continuation file, open for more lines."""

    def __init__(self, path: Path, base: Head, lines: Lines) -> None:
        self.path = path
        self.base = base
        self.records: list[Record] = []
        self._lines = lines

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
        key = KEYRING.of(journal)
        first = json.dumps({"seq": base.seq, "hash": base.hex, "journal": str(journal)})
        for place in sorted((journal.parent, *places), key=_is_nearly_full):
            path = place / f"{journal.name}{MARK}{token}"
            try:
                if place != journal.parent:  # a disk that was pulled out is not made up again
                    place.mkdir(parents=True, exist_ok=True)
                lines = _begun(path, key, first)
                sync_folder(place)
            except FileExistsError:
                continue
            except OSError:
                remove_lines(path)
                continue
            except WrongKeyError as error:
                # In plain it would hold what the journal was locked for.
                remove_lines(path)
                raise NotWrittenError(str(error)) from None
            return cls(path, base, lines)
        msg = "no place is left to write to"
        raise NotWrittenError(msg)

    @classmethod
    def resume(cls, path: Path, continued: Continued, key: str | None = None) -> Continuation:
        """Go on with a file that an earlier run began; `key` is its journal's passphrase.

        Raises:
            JournalError: it is locked, and cannot be opened.
        """
        try:
            lines = _taken_up(path, key)
        except OSError as error:
            msg = f"{path}: it cannot be written ({error.strerror}): keep it and tell a supervisor"
            raise JournalError(msg) from None
        resumed = cls(path, continued.base, lines)
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
            self._lines.add(_line(records))
        except OSError as error:
            raise NotWrittenError(error.strerror or type(error).__name__) from None
        self.records.extend(records)

    def close(self) -> None:
        """Let go of the file."""
        self._lines.close()

    def remove(self) -> None:
        """Let go of the file and take it away: all that it holds is at home."""
        self.close()
        remove_lines(self.path)


def read_continuation(path: Path, key: str | None = None) -> Continued:
    """Return what `path` holds; a last line cut short by a crash was never acknowledged.

    Args:
        path: the file.
        key: the passphrase of its journal, if that has one.

    Raises:
        JournalError: it is no continuation file, it was changed, or it is locked otherwise.
    """
    lines = read_locked_lines(path, key) if is_locked(path) else _plain_lines(path)
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


class Lines(Protocol):
    """Where the lines of a continuation file go."""

    def add(self, line: str) -> None:
        """Put a whole line on the disk, or nothing; an `OSError` says that it is not there."""

    def close(self) -> None:
        """Let go of the file."""


class _PlainLines:
    """A plain file, opened for each line."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def add(self, line: str) -> None:
        _add_line(self._path, line)

    def close(self) -> None:
        """Nothing is held open."""


def _begun(path: Path, key: str | None, first: str) -> Lines:
    if key is not None:
        return LockedLines.begin(path, key, first)
    _add_line(path, first, os.O_CREAT | os.O_EXCL)
    return _PlainLines(path)


def _taken_up(path: Path, key: str | None) -> Lines:
    return _PlainLines(path) if key is None else LockedLines.resume(path, key)


def _plain_lines(path: Path) -> list[bytes]:
    try:
        found = path.read_bytes()
    except OSError as error:
        msg = f"{path}: it cannot be read ({type(error).__name__}): keep it and tell a supervisor"
        raise JournalError(msg) from None
    return found.split(b"\n")[:-1]


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


def _base_seq(path: Path, key: str | None) -> int:
    try:
        return read_continuation(path, key).base.seq
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
