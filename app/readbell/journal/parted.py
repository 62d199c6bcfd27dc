"""What two sides recorded since they parted: a station that went on alone, and all the others.

What was done alone may be at home already, in whole or in part: a commit whose answer was lost,
or a joining up that was cut off before the file beside was taken away. It is found again by its
hashes, or by the id of the event that ends a joining up, and is never brought home twice.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.journal.record import Head, Record
    from readbell.journal.source import Source

_JOINED = "joined-"


@dataclass(frozen=True, slots=True, kw_only=True)
class Parted:
    """Both sides, from the last event that is common to them."""

    passed: tuple[Record, ...]
    """What stands in the shared record between the begin of the file and the common event."""
    base: Head
    """The common event."""
    theirs: tuple[Record, ...]
    ours: tuple[Record, ...]

    @property
    def end(self) -> Head:
        """The end of the shared record."""
        return self.theirs[-1].head if self.theirs else self.base


def joined_id(end: Head) -> str:
    """Return the id of the event by which all that was done alone up to `end` came home.

    It hangs on what came home, and on nothing else: the same cannot be joined up twice.
    """
    return f"{_JOINED}{end.hex}"


def parted(home: Source, base: Head, ours: Sequence[Record]) -> Parted:
    """Return what each side recorded.

    Args:
        home: the shared record.
        base: the event after which the station was alone.
        ours: what it did since, chained after `base`.

    Raises:
        JournalError: the shared record cannot be read.
    """
    there = tuple(home.records(base.seq))
    places = {id_of(each): place for place, each in enumerate(there)}
    kept = passed = 0
    for each, at_home in zip(ours, there, strict=False):
        if each.hash != at_home.hash:
            break
        kept = passed = kept + 1
    for place in reversed(range(kept, len(ours))):
        found = places.get(joined_id(ours[place].head))
        if found is not None:
            kept, passed = place + 1, found + 1
            break
    return Parted(
        passed=there[:passed],
        base=there[passed - 1].head if passed else base,
        theirs=there[passed:],
        ours=tuple(ours[kept:]),
    )


def id_of(record: Record) -> str:
    """Return the id of the event that `record` stores."""
    found: str = json.loads(record.body)["id"]
    return found
