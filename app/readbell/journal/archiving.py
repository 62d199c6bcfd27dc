"""A closed period of a record as one file: a journal of its own that `verify` proves whole.

It holds every event from the first one on, with the identifiers beside them, so it is
proven by itself, and its end is an event of the journal it was taken from. It stands
under its name whole or not at all.
"""

from __future__ import annotations

import hashlib
import secrets
from contextlib import closing, suppress
from dataclasses import replace
from glob import escape
from itertools import islice
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.journal.codec import decode_each
from readbell.journal.disk import put_in_free_place
from readbell.journal.errors import BrokenChainError, JournalError
from readbell.journal.locked import KEYRING
from readbell.journal.record import Head
from readbell.journal.sqlite import SqliteJournal
from readbell.journal.verify import chained, verify

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from readbell.journal.record import PrivateRow, Record

AT_ONCE = 2_000
PART = ".part-"
"""Stands in the name of a file that is not whole yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Archived:
    """What was written."""

    head: Head
    digest: str
    """SHA-256 over the bytes of the file, in hex."""


def write_archive(
    source: Path, target: Path, events: int, told: Callable[[int], None] = lambda _: None
) -> Archived:
    """Write the first `events` events of the journal `source` to `target`, checked, and say what it is.

    Args:
        source: the journal; it may be in use.
        target: a new file, readable by its owner alone.
        events: how many, from the first one on.
        told: is told how many are written so far.

    Raises:
        JournalError: something stands at the target, the journal is broken, or there is no room.
    """
    if target.exists():
        msg = f"{target}: something stands there already: name another file"
        raise JournalError(msg)
    for left in target.parent.glob(f"{escape(target.name)}{PART}*"):
        left.unlink(missing_ok=True)  # somebody was broken off in the middle of one
    part = target.with_name(f"{target.name}{PART}{secrets.token_hex(4)}")
    key = KEYRING.of(source)
    if key is not None:
        KEYRING.keep(part, key)
    try:
        head = _copied(source, part, events, told)
        digest = _digest(part)
        put_in_free_place(part, target)
    except OSError as error:
        msg = f"{target}: {error.strerror}: choose a place with room where you may write"
        raise JournalError(msg) from None
    finally:
        KEYRING.drop(part)
        for beside in target.parent.glob(f"{escape(part.name)}*"):
            with suppress(OSError):
                beside.unlink()
    if key is not None:
        KEYRING.keep(target, key)
    return Archived(head=head, digest=digest)


def _copied(source: Path, part: Path, events: int, told: Callable[[int], None]) -> Head:
    with (
        closing(SqliteJournal.open(source, read_only=True)) as journal,
        closing(SqliteJournal.open(part)) as copy,
    ):
        walk = with_private(islice(chained(journal), events), journal.private)
        head = Head()
        while some := list(islice(walk, AT_ONCE)):
            head = copy.append(some, head)
            told(head.seq)
        copy.close_for_ever()
    with closing(SqliteJournal.open(part, read_only=True)) as copy:
        found = verify(copy).head
        damage = copy.damage(thorough=True)
    if found != head or found.seq != events or damage is not None:
        raise BrokenChainError(head.seq, "the copy is not what the journal holds: try again")
    return head


def with_private(
    records: Iterator[Record], lookup: Callable[[str], PrivateRow | None]
) -> Iterator[Record]:
    """Yield each record with what it introduced on the erasable side, as far as that is still there."""
    found: list[PrivateRow] = []

    def note(key: str) -> PrivateRow | None:
        row = lookup(key)
        if row is not None:
            found.append(row)
        return row

    for record in records:
        found.clear()
        next(decode_each((record,), note))
        yield replace(record, private=tuple(found))


def _digest(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
