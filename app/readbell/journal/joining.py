"""Several packed mappings, written one over the other, made into one.

Pages are taken over as they lie: only one in which something was written over or taken
out is unpacked. So what a long record adds up to is packed once, and not again with each
stretch that comes behind it.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from readbell.core.made_later import dataclass
from readbell.journal.packed import A_PAGE, HALF, checksum, entries_of, indexed, page_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.journal.packed import Packed, Packing


@dataclass(frozen=True, slots=True, kw_only=True)
class Stratum:
    """Entries that were written over older ones."""

    own: Packed[Any]
    gone: frozenset[str]
    """Keys that were taken out of the older ones before any of `own` was written."""


def joined(strata: Sequence[Stratum]) -> Iterator[Packing | None]:
    """Lay all `strata`, the oldest first, into one; yield None now and then, at last what was made.

    It holds what one would get by taking out and writing one after the other: what is written
    over keeps its place, and what is new stands behind.
    """
    changes = [_Changes() for _ in strata]
    older: set[int] = set()
    for number, each in enumerate(strata):
        for key in each.gone:
            _taken_out(key, strata[:number], changes)
        for shared in sorted(older.intersection(each.own.sums)):
            for place in each.own.places_of(shared):
                _written_over(place, number, strata, changes)
            yield None
        older.update(each.own.sums)
    made = _Joining()
    for each, change in zip(strata, changes, strict=True):
        for _ in made.take(each.own, change):
            yield None
    yield indexed(made.found, made.pages)


class _Changes:
    """What is otherwise than it lies in one stratum, by place."""

    def __init__(self) -> None:
        self.values: dict[int, Any] = {}
        self.gone: set[int] = set()

    @property
    def pages(self) -> frozenset[int]:
        """The pages in which something is."""
        return frozenset(place // A_PAGE for place in (*self.values, *self.gone))


def _standing(
    key: str, strata: Sequence[Stratum], changes: Sequence[_Changes]
) -> tuple[_Changes, int] | None:
    """Return where `key` stands in `strata`, or None where it does not, or no more."""
    for each, change in zip(strata, changes, strict=False):
        place = each.own.place_of(key)
        if place is not None and place not in change.gone:
            return change, place
    return None


def _taken_out(key: str, older: Sequence[Stratum], changes: Sequence[_Changes]) -> None:
    found = _standing(key, older, changes)
    if found is not None:
        change, place = found
        change.gone.add(place)


def _written_over(
    place: int, number: int, strata: Sequence[Stratum], changes: Sequence[_Changes]
) -> None:
    """Have what lies at `place` of one stratum stand where an older one has its key, if one has."""
    keys, values = strata[number].own.page(place // A_PAGE)
    found = _standing(keys[place % A_PAGE], strata[:number], changes)
    if found is not None:
        change, before = found
        change.values[before] = values[place % A_PAGE]
        changes[number].gone.add(place)


class _Joining:
    """Pages one behind the other."""

    def __init__(self) -> None:
        self.pages: list[bytes | memoryview] = []
        self.found: list[int] = []
        """Each checksum with its place below it."""
        self._filled = A_PAGE
        """How many entries lie in the last page."""

    def take(self, own: Packed[Any], change: _Changes) -> Iterator[None]:
        """Put the pages of one stratum behind the others, as it was changed."""
        touched, filled = change.pages, Counter(place // A_PAGE for place in own.places)
        lies: dict[int, int] = {}
        for number, page in enumerate(own.pages):
            if number in touched or self._filled + filled[number] <= A_PAGE:
                self._put(_left_of(own, number, change))
                yield None
            else:
                lies[number] = len(self.pages)
                self.pages.append(page)
                self._filled = filled[number]
        for each, place in zip(own.sums, own.places, strict=True):
            number, within = divmod(place, A_PAGE)
            if number in lies:
                self.found.append(each << HALF | lies[number] * A_PAGE + within)

    def _put(self, entries: list[tuple[str, Any]]) -> None:
        """Put entries that were unpacked behind the others: few of them into a page that has room."""
        if not entries:
            return
        if self._filled + len(entries) <= A_PAGE:
            before = list(zip(*entries_of(self.pages.pop()), strict=True))
        else:
            before = []
        first = len(self.pages) * A_PAGE + len(before)
        self.found += [
            checksum(key) << HALF | place for place, (key, _) in enumerate(entries, first)
        ]
        self.pages.append(page_of(before + entries))
        self._filled = len(before) + len(entries)


def _left_of(own: Packed[Any], number: int, change: _Changes) -> list[tuple[str, Any]]:
    """Return the entries of one page as they are now."""
    first = number * A_PAGE
    return [
        (key, change.values.get(place, value))
        for place, (key, value) in enumerate(zip(*own.page(number), strict=True), first)
        if place not in change.gone
    ]
