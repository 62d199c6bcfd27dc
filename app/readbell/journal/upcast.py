"""Old shapes of events, lifted to the present one as they are read.

A stored event is never rewritten. When the shape of a kind changes, its version
rises by one in `core/catalogue.py` and a function in `LIFTS` turns the old fields
into the new. Both tables are all there is to do.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from readbell.core.catalogue import VERSIONS
from readbell.journal.errors import NewerJournalError

Fields = dict[str, Any]
Lift = Callable[[Fields], Fields]


def _done_alone(fields: Fields) -> Fields:
    """Before several steps could be confirmed by one act, each was confirmed by itself."""
    return {**fields, "together": False}


LIFTS: Mapping[tuple[str, int], Lift] = {("step-done", 1): _done_alone}
"""For a kind and an old version, how its fields become those of the next version."""


def lift(
    kind: str,
    version: int,
    fields: Fields,
    versions: Mapping[str, int] = VERSIONS,
    lifts: Mapping[tuple[str, int], Lift] = LIFTS,
) -> Fields:
    """Return `fields` of a stored event in the present shape of its kind.

    Raises:
        NewerJournalError: the event is of a later version than this program knows.
    """
    present = versions.get(kind, 1)
    if version > present:
        msg = f"event kind {kind!r} has version {version}: a newer readbell wrote it, use that one"
        raise NewerJournalError(msg)
    for step in range(version, present):
        fields = lifts[kind, step](fields)
    return fields
