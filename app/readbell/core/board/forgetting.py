"""Words that were erased go from whatever had taken them in, wherever they stand on a board.

An erasing says of what its values were: of which cartridges, runs on paper, persons and parties.
So only those are looked at, however many years a board knows of. What is nobody's own, such as
words about a lot, stands in few places, and all of them are looked at.
"""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any, TypeVar

from readbell.core.assay.assay import Assay
from readbell.core.private import Private

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.core.board.draft import Draft, Ledger

Value = TypeVar("Value")


def forget_words(draft: Draft, whose: Iterable[str], gone: frozenset[str]) -> None:
    """Forget the values under the keys `gone` in whatever is known of each of `whose`."""
    of_each: tuple[Ledger[Any], ...] = (
        draft.running,
        draft.ended,
        draft.told,
        draft.paper_runs,
        draft.paper_withdrawn,
        draft.person_files,
        draft.parties,
        draft.gone,
    )
    for ledger in of_each:
        _forget_in(ledger, whose, gone)
    _forget_in(draft.apart, tuple(draft.apart.mapping), gone)
    draft.archives = without(draft.archives, gone)
    draft.shift_book = without(draft.shift_book, gone)
    room = draft.stock_room
    draft.stock_room = replace(
        room,
        losses=without(room.losses, gone),
        recalls=without(room.recalls, gone),
        corrections=without(room.corrections, gone),
    )


def without(found: Value, gone: frozenset[str]) -> Value:
    """Return `found` with each value under one of the keys `gone` as one that was erased."""
    if isinstance(found, Private):
        return replace(found, salt="", value=None) if found.key in gone else found
    if isinstance(found, tuple):
        return tuple(without(each, gone) for each in found)  # type: ignore[return-value]
    if not is_dataclass(found) or isinstance(found, Assay):  # an assay is of nobody
        return found
    changed: dict[str, Any] = {}
    for each in fields(found):
        before = getattr(found, each.name)
        after = without(before, gone)
        if after != before:
            changed[each.name] = after
    return replace(found, **changed) if changed else found  # type: ignore[type-var]


def _forget_in(ledger: Ledger[Any], keys: Iterable[str], gone: frozenset[str]) -> None:
    for key in keys:
        before = ledger.get(key)
        if before is not None:
            ledger.put(key, without(before, gone))
