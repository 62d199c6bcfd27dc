"""What a journal must do, whatever it is stored in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from readbell.journal.source import Source

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.journal.record import Head, Record


class Journal(Source, Protocol):
    """An append-only, gap-free, chained record. Not for use by two threads at once."""

    def head(self) -> Head:
        """Return the present end."""

    def append(self, records: Sequence[Record], expected: Head) -> Head:
        """Store `records` durably, all or none, and return the new end.

        Raises:
            ConflictError: the end is no longer `expected`, or they do not follow from it.
            NotWrittenError: they did not reach the disk.
        """

    def ailment(self) -> str | None:
        """Say why the next append would fail or soon will, or None if all is well."""

    def close(self) -> None:
        """Let go of the journal."""
