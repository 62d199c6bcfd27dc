"""One line of the journal as it is stored: chained bytes, and the identifiers beside them.

Each event's hash covers the hash before it, so an event that is changed, taken
out or put in breaks every hash after it. The chain makes tampering evident; it
does not prevent it, and whoever can rewrite the whole file can rewrite the
chain: the head is therefore printed and kept elsewhere at the end of a day.
"""

from __future__ import annotations

import hashlib
from dataclasses import field

from readbell.core.made_later import dataclass

NO_HASH = bytes(32)
"""Stands before the first event."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """The end of a journal: how many events it has, and the last one's hash."""

    seq: int = 0
    hash: bytes = NO_HASH

    @property
    def hex(self) -> str:
        """The hash as 64 hex digits, for people and reports."""
        return self.hash.hex()


@dataclass(frozen=True, slots=True, kw_only=True)
class PrivateRow:
    """An identifier or free text as stored, apart from the chain."""

    key: str
    salt: str = field(repr=False)
    value: str | None = field(repr=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """One stored event."""

    seq: int
    body: str
    hash: bytes
    private: tuple[PrivateRow, ...] = ()
    """What this event introduces on the erasable side."""

    @property
    def head(self) -> Head:
        """The end of a journal whose last event this is."""
        return Head(seq=self.seq, hash=self.hash)


def link(before: bytes, body: str) -> bytes:
    """Return the hash of an event: SHA-256 over the hash before it and its own bytes."""
    return hashlib.sha256(before + body.encode()).digest()


def digest_of(salt: str, value: str) -> str:
    """Return what the chain holds of an identifier: SHA-256 over salt and value."""
    return hashlib.sha256(f"{salt}\x00{value}".encode()).hexdigest()
