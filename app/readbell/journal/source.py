"""What can be read as one record, from its beginning to its end."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.journal.record import PrivateRow, Record


class Source(Protocol):
    """A journal, or a journal together with what was spilled beside it."""

    def records(self, after: int = 0) -> Iterator[Record]:
        """Yield the stored events after number `after`, in order."""

    def private(self, key: str) -> PrivateRow | None:
        """Return what was kept apart under `key`, or None."""
