"""A journal in one SQLite file.

Every append is one transaction, on the disk before it returns: write-ahead log,
full synchronisation, each setting read back because a setting that did not take
is a loss that nobody sees. Events can be added and never changed: triggers
refuse it, and the chain would show it.
"""

from __future__ import annotations

import shutil
from contextlib import closing, suppress
from operator import attrgetter
from typing import TYPE_CHECKING, Self

import apsw

from readbell.journal.archive_mark import ARCHIVE, is_archive
from readbell.journal.erasing import erase_with, holds_old_bytes, overwrite_old_bytes
from readbell.journal.errors import (
    ConflictError,
    JournalError,
    NewerJournalError,
    NotWrittenError,
)
from readbell.journal.in_place import InPlace, LogCutError, LogMovedError
from readbell.journal.locked import is_locked, key_alike, open_with_key
from readbell.journal.record import Head, PrivateRow, Record
from readbell.journal.snapshot_table import SCHEMA as BESIDE
from readbell.journal.snapshot_table import UNKNOWN, add_to, erasures_in, parts_in, put_into
from readbell.journal.sqlite_faults import reason_of, text_of, what_to_do
from readbell.journal.sqlite_opening import connect

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

APPLICATION = 0x7EADBE11
"""Marks the file as a journal of this program."""
SCHEMA_VERSION = 1
BUSY_MILLISECONDS = 250
FIRST_SOUND_VERSION = (3, 51, 3)
"""From here on SQLite's write-ahead log is free of the reset fault."""
LEAST_ROOM_BYTES = 8 * 1024 * 1024
"""Below this much free disk the bay says so before an append fails."""

_SCHEMA = """
CREATE TABLE event (
    seq INTEGER PRIMARY KEY,
    body TEXT NOT NULL,
    hash BLOB NOT NULL
) STRICT;
CREATE TABLE private (
    key TEXT PRIMARY KEY,
    salt TEXT NOT NULL,
    value TEXT
) STRICT;
CREATE TRIGGER event_stays BEFORE UPDATE ON event
BEGIN SELECT RAISE(ABORT, 'an event is never changed'); END;
CREATE TRIGGER event_is_kept BEFORE DELETE ON event
BEGIN SELECT RAISE(ABORT, 'an event is never deleted'); END;
CREATE TRIGGER event_is_new BEFORE INSERT ON event
WHEN EXISTS (SELECT 1 FROM event WHERE seq = NEW.seq)
BEGIN SELECT RAISE(ABORT, 'an event is never replaced'); END;
CREATE TRIGGER private_is_new BEFORE INSERT ON private
WHEN EXISTS (SELECT 1 FROM private WHERE key = NEW.key)
BEGIN SELECT RAISE(ABORT, 'an identifier is never replaced'); END;
CREATE TRIGGER private_is_kept BEFORE DELETE ON private
BEGIN SELECT RAISE(ABORT, 'an identifier is erased, its key stays'); END;
CREATE TRIGGER private_stays BEFORE UPDATE ON private
WHEN NEW.key IS NOT OLD.key OR NEW.value IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'an identifier is only ever erased'); END;
"""

_ROW = attrgetter("seq", "body", "hash")
_SETTINGS = (
    ("synchronous", "FULL", 2),
    ("foreign_keys", "ON", 1),
    ("trusted_schema", "OFF", 0),
    ("secure_delete", "ON", 1),
    ("mmap_size", "0", 0),
)


class SqliteJournal:
    """One open journal file, or one in memory for a rehearsal that keeps none."""

    def __init__(self, connection: apsw.Connection, path: Path | None) -> None:
        self._connection = connection
        self._path = path
        self._in_place = None if path is None else InPlace(path)

    @classmethod
    def open(cls, path: Path | None, *, read_only: bool = False) -> Self:
        """Open the journal at `path`, making an empty one where there is none.

        Raises:
            JournalError: it is no journal, cannot be opened, or a setting did not take.
            NewerJournalError: a newer version of the program made it.
        """
        if not hasattr(apsw, "mc_version"):
            msg = "the wrong SQLite package is installed: remove apsw, keep apsw-sqlite3mc"
            raise JournalError(msg)
        try:
            connection = connect(path, read_only=read_only)
        except (apsw.Error, OSError) as error:
            msg = f"{path}: {reason_of(error)}: check the name, the rights and the disk"
            raise JournalError(msg) from None
        try:
            if path is not None:
                open_with_key(connection, path)
            _prepare(connection, path, read_only=read_only)
        except apsw.Error as error:
            connection.close()
            msg = f"{path}: {reason_of(error)}: {what_to_do(error)}"
            raise JournalError(msg) from None
        except JournalError:
            connection.close()
            raise
        return cls(connection, path)

    def head(self) -> Head:
        """Return the present end.

        Raises:
            JournalError: the file cannot be read.
        """
        try:
            return self._end()
        except apsw.Error as error:
            msg = f"{self._path}: {reason_of(error)}: restore a backup"
            raise JournalError(msg) from None

    def append(self, records: Sequence[Record], expected: Head) -> Head:
        """Store `records` durably, all or none, and return the new end.

        Raises:
            ConflictError: the end is no longer `expected`, or they do not follow from it.
            NotWrittenError: they did not reach the disk.
        """
        try:
            self._check_place()
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                self._insert(records, expected)
                self._connection.execute("COMMIT")
            except BaseException:
                self._roll_back()
                raise
        except (apsw.Error, OSError) as error:
            raise NotWrittenError(reason_of(error)) from None
        self._note_place()
        return records[-1].head if records else expected

    def records(self, after: int = 0) -> Iterator[Record]:
        """Yield the stored events after number `after`, in order.

        Raises:
            JournalError: the file cannot be read.
        """
        try:
            # As bytes, so that damaged text is named by its event and not by a crash.
            for seq, body, hashed in self._connection.execute(
                "SELECT seq, CAST(body AS BLOB), CAST(hash AS BLOB) FROM event"
                " WHERE seq > ? ORDER BY seq",
                (after,),
            ):
                yield Record(seq=seq, body=text_of(seq, body), hash=hashed)
        except apsw.Error as error:
            msg = f"{self._path}: {reason_of(error)}: restore a backup"
            raise JournalError(msg) from None

    def private(self, key: str) -> PrivateRow | None:
        """Return what was kept apart under `key`, or None."""
        try:
            row = self._connection.execute(
                "SELECT CAST(salt AS BLOB), CAST(value AS BLOB) FROM private WHERE key = ?",
                (key,),
            ).fetchone()
        except apsw.Error as error:
            msg = f"{self._path}: {reason_of(error)}: restore a backup"
            raise JournalError(msg) from None
        if row is None:
            return None
        # What is damaged here no longer fits its digest, and is named by its event there.
        salt, value = (None if part is None else part.decode(errors="replace") for part in row)
        return PrivateRow(key=key, salt=salt or "", value=value)

    def snapshot(self) -> Mapping[int, bytes]:
        """Return the parts of the snapshot that is kept beside the record; none if there is none."""
        return parts_in(self._connection)

    def erasures(self) -> int:
        """Return how often an identifier was erased, as far as that is known."""
        return erasures_in(self._connection)

    def keep_snapshot(
        self, parts: Mapping[int, bytes], stay: frozenset[int], erasures: int
    ) -> bool:
        """Put `parts` in the place of all but those in `stay`; say whether that was done.

        It is not if an identifier was erased since there were so many `erasures`: the
        snapshot might still name somebody who is to be forgotten.
        """
        try:
            self._check_place()
            with self._connection:
                fits = UNKNOWN < erasures == self.erasures()
                if fits:
                    put_into(self._connection, parts, stay)
        except (apsw.Error, OSError):
            return False  # the record has all that is in it
        self._note_place()
        return fits

    def ailment(self) -> str | None:
        """Say why the next append would fail or soon will, or None if all is well."""
        if self._path is None:
            return None
        try:
            self._check_place()
            free = shutil.disk_usage(self._path.parent).free
        except OSError as error:
            return reason_of(error)
        return None if free >= LEAST_ROOM_BYTES else "the disk is nearly full"

    def damage(self, *, thorough: bool = False) -> str | None:
        """Return what SQLite finds wrong with the file itself, or None.

        Only the `thorough` look finds an index that no longer leads to every identifier:
        whoever is behind it would be taken for erased.
        """
        try:
            check = "integrity_check" if thorough else "quick_check"
            found = self._connection.execute(f"PRAGMA {check}(1)").fetchone()
        except apsw.Error as error:
            return reason_of(error)
        return None if found is not None and found[0] == "ok" else str(found)

    def copy_to(self, target: Path) -> None:
        """Write a whole copy to `target` while the journal is in use.

        Raises:
            JournalError: the copy cannot be written.
        """
        try:
            with closing(connect(target, read_only=False)) as copy:
                if self._path is not None and is_locked(self._path):
                    key_alike(copy, self._path, target)
                with copy.backup("main", self._connection, "main") as backup:
                    backup.step()
                copy.execute("PRAGMA journal_mode=DELETE").fetchall()
        except (apsw.Error, OSError) as error:
            with suppress(OSError):
                target.unlink(missing_ok=True)  # half a copy must not pass for one
            msg = f"{target}: {reason_of(error)}: choose a place with room where you may write"
            raise JournalError(msg) from None

    @property
    def holds_old_bytes(self) -> bool:
        """Whether bytes of what was erased may still be in the file: somebody was reading it."""
        return holds_old_bytes(self._connection)

    @property
    def is_archive(self) -> bool:
        """Whether this is the copy of a closed period, which takes no more events."""
        return is_archive(self._connection)

    def close_for_ever(self) -> None:
        """Make this copy of a closed period one file that takes no more events.

        Raises:
            JournalError: the disk did not take it.
        """
        try:
            self._connection.execute(ARCHIVE)
            self._connection.execute("PRAGMA journal_mode=DELETE").fetchall()
        except apsw.Error as error:
            msg = f"{self._path}: {reason_of(error)}: choose a place with room where you may write"
            raise JournalError(msg) from None

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()

    def _end(self) -> Head:
        row = self._connection.execute(
            "SELECT seq, CAST(hash AS BLOB) FROM event ORDER BY seq DESC LIMIT 1"
        ).fetchone()
        return Head() if row is None else Head(seq=row[0], hash=row[1])

    def _insert(self, records: Sequence[Record], expected: Head) -> None:
        follows = not records or records[0].seq == expected.seq + 1
        if self._end() != expected or not follows:
            msg = "somebody else has written to this journal since"
            raise ConflictError(msg)
        self._connection.executemany(
            "INSERT INTO event (seq, body, hash) VALUES (?, ?, ?)",
            map(_ROW, records),
        )
        private = [row for each in records for row in each.private]
        if private:
            self._connection.executemany(
                "INSERT INTO private (key, salt, value) VALUES (?, ?, ?)",
                ((row.key, row.salt, row.value) for row in private),
            )
        erase_with(self._connection, records)

    def _roll_back(self) -> None:
        if self._connection.in_transaction:
            self._connection.execute("ROLLBACK")

    def _note_place(self) -> None:
        if self._in_place is not None:
            self._in_place.note()

    def _check_place(self) -> None:
        if self._in_place is None:
            return
        try:
            self._in_place.check()
        except LogMovedError:
            # SQLite still holds the log: bring home what stands in it while that can be done.
            with suppress(apsw.Error):  # each later look tries again
                self._connection.wal_checkpoint(mode=apsw.SQLITE_CHECKPOINT_RESTART)
            raise
        except LogCutError:
            # What is left of it is for the next start to judge, not to be copied blindly.
            self._connection.config(apsw.SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1)
            raise


def describe_engine() -> str:
    """Say which SQLite is at work, and whether it has the fault of the write-ahead log."""
    found = tuple(int(part) for part in apsw.sqlite_lib_version().split("."))
    fault = (
        "" if found >= FIRST_SOUND_VERSION else "; its write-ahead log can lose commits: renew it"
    )
    return f"SQLite {apsw.sqlite_lib_version()}, apsw {apsw.apsw_version()}{fault}"


def _prepare(connection: apsw.Connection, path: Path | None, *, read_only: bool) -> None:
    connection.set_busy_timeout(BUSY_MILLISECONDS)
    application = connection.pragma("application_id")
    tables = {name for (name,) in connection.execute("SELECT name FROM sqlite_schema")}
    is_new = not tables and application == 0 and not read_only
    # Before anything is set: a file of somebody else's is left as it is.
    if not is_new and ("event" not in tables or application != APPLICATION):
        msg = f"{path}: this file is not a readbell journal: check the name"
        raise JournalError(msg)
    if not read_only and is_archive(connection):
        msg = f"{path}: this is an archive and takes no more events: name the journal itself"
        raise JournalError(msg)
    if connection.pragma("user_version") > SCHEMA_VERSION:
        msg = f"{path}: a newer readbell made this journal: use that version"
        raise NewerJournalError(msg)
    _set(connection, path, read_only=read_only)
    if is_new:
        with connection:
            connection.execute(_SCHEMA + BESIDE)
            connection.pragma("application_id", APPLICATION)
            connection.pragma("user_version", SCHEMA_VERSION)
    if not read_only:
        add_to(connection)
        # All that earlier runs left in the log is to stand in the file itself from here on.
        with suppress(apsw.Error):  # on a full disk it stays where it is, and is read there
            connection.wal_checkpoint(mode=apsw.SQLITE_CHECKPOINT_PASSIVE)
        overwrite_old_bytes(connection)


def _set(connection: apsw.Connection, path: Path | None, *, read_only: bool) -> None:
    """Make each setting, and read it back: one that did not take is a loss nobody sees."""
    if not read_only:
        wanted = "memory" if path is None else "wal"
        if connection.pragma("journal_mode", "WAL") != wanted:
            msg = f"{path}: the file system gives no write-ahead log: use a local disk"
            raise JournalError(msg)
    for name, value, answer in _SETTINGS:
        connection.pragma(name, value)
        if connection.pragma(name) not in (answer, None):
            msg = f"{path}: setting {name} did not take: this SQLite cannot be trusted"
            raise JournalError(msg)
