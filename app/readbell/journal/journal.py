"""What a journal must do, whatever it is stored in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.journal.record import Head, PrivateRow, Record


class Journal(Protocol):
    """An append-only, gap-free, chained record. Not for use by two threads at once."""

    def head(self) -> Head:
        """Return the present end."""

    def append(self, records: Sequence[Record], expected: Head) -> Head:
        """Store `records` durably, all or none, and return the new end.

        Raises:
            ConflictError: the end is no longer `expected`.
            NotWrittenError: they did not reach the disk.
        """

    def records(self, after: int = 0) -> Iterator[Record]:
        """Yield the stored events after number `after`, in order."""

    def private(self, key: str) -> PrivateRow | None:
        """Return what was kept apart under `key`, or None."""

    def ailment(self) -> str | None:
        """Say why the next append would fail or soon will, or None if all is well."""

    def close(self) -> None:
        """Let go of the journal."""
