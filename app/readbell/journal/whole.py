"""A journal and what was spilled beside it, as one record."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from readbell.journal.continuation import Continuation
    from readbell.journal.journal import Journal
    from readbell.journal.record import PrivateRow, Record


class Whole:
    """Both, read one after the other.

    Args:
        journal: the record.
        spilled: the files beside it, in order.
    """

    def __init__(self, journal: Journal, spilled: Sequence[Continuation]) -> None:
        self._journal = journal
        self._base = spilled[0].base if spilled else None
        self._beside = [record for each in spilled for record in each.records]

    def records(self, after: int = 0) -> Iterator[Record]:
        """Yield the events after number `after`, in order."""
        base = self._base
        for record in self._journal.records(after):
            # What was brought home before a crash stands in both places; and of a shared record
            # others may have written more, which is of another story until both are joined up.
            if base is not None and record.seq > base.seq:
                break
            yield record
        yield from (record for record in self._beside if record.seq > after)

    def private(self, key: str) -> PrivateRow | None:
        """Return what was kept apart under `key`, or None."""
        return self._kept_beside.get(key) or self._journal.private(key)

    @cached_property
    def _kept_beside(self) -> Mapping[str, PrivateRow]:
        # Made once: whoever asks for one name mostly asks for many.
        return {row.key: row for record in self._beside for row in record.private}
