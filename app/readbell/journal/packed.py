"""A mapping kept as compressed bytes, of which only what is asked for is ever unpacked.

A bay that has run for years has ended cartridges by the ten thousand. To make them
all into values at each start would take half a minute, for the sake of the few that
anybody asks about. Looking one up costs a page of some dozens of entries.
"""

from __future__ import annotations

import json
import zlib
from array import array
from bisect import bisect_left
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any, TypeVar

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

Value = TypeVar("Value")

A_PAGE = 64
"""Entries that are packed together."""
HALF = 32
"""Bits of a checksum, and of a place."""
_LOW = (1 << HALF) - 1
PAGES_KEPT = 16
VALUES_KEPT = 1_024
"""How much of what was unpacked is kept at hand, of each layer of each mapping (our own choice):
whoever walks through years needs one page of it, and what lies about is paid for by every walk."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Packing:
    """The entries of a mapping, packed."""

    count: int
    index: bytes
    """The checksum of each key in rising order, then the place of each: page by page, `A_PAGE` to
    each of them, whether there are so many or not."""
    pages: tuple[bytes | memoryview, ...]


def packing(entries: Iterable[tuple[str, Any]]) -> Iterator[Packing | None]:
    """Pack `entries`, whose values are plain; yield None after each page, at last what was made."""
    pages: list[bytes] = []
    sums: list[int] = []
    page: list[tuple[str, Any]] = []
    for entry in entries:
        page.append(entry)
        sums.append(checksum(entry[0]))
        if len(page) == A_PAGE:
            pages.append(page_of(page))
            page = []
            yield None
    if page:
        pages.append(page_of(page))
    yield indexed([each << HALF | place for place, each in enumerate(sums)], pages)


def indexed(found: list[int], pages: Sequence[bytes | memoryview]) -> Packing:
    """Return `pages` with their index: the checksum of each key, and below it the place."""
    found.sort()
    places = array("I", (each & _LOW for each in found))
    sums = array("I", (each >> HALF for each in found))
    return Packing(count=len(found), index=sums.tobytes() + places.tobytes(), pages=tuple(pages))


def page_of(entries: list[tuple[str, Any]]) -> bytes:
    """Pack a page of keys and plain values."""
    keys, values = [key for key, _ in entries], [value for _, value in entries]
    return zlib.compress(json.dumps([keys, values], separators=(",", ":")).encode(), 1)


def entries_of(page: bytes | memoryview) -> tuple[list[str], list[Any]]:
    """Return the keys and the plain values of a page."""
    keys, values = json.loads(zlib.decompress(page))
    return keys, values


def checksum(key: str) -> int:
    """Return what a key is looked up by."""
    return zlib.crc32(key.encode(errors="surrogatepass"))


class Packed(Mapping[str, Value]):
    """The mapping that lies in `pages`.

    Args:
        index: as `Packing` has it.
        pages: the pages, each as it was packed.
        read: makes the value of a plain one.
    """

    __slots__ = ("_kept", "_opened", "_read", "pages", "places", "sums")

    def __init__(
        self, index: memoryview, pages: Sequence[memoryview], read: Callable[[Any], Value]
    ) -> None:
        half = len(index) // 2
        self.sums, self.places = index[:half].cast("I"), index[half:].cast("I")
        self.pages = pages
        self._read = read
        self._opened: dict[int, tuple[list[str], list[Any]]] = {}
        self._kept: dict[int, Value] = {}

    def __getitem__(self, key: str) -> Value:
        place = self.place_of(key)
        if place is None:
            raise KeyError(key)
        kept = self._kept.get(place)
        if kept is None:
            number, within = divmod(place, A_PAGE)
            kept = self._read(self.page(number)[1][within])
            if len(self._kept) >= VALUES_KEPT:
                self._kept = {}
            self._kept[place] = kept
        return kept

    def __contains__(self, key: object) -> bool:
        return isinstance(key, str) and self.place_of(key) is not None

    def __iter__(self) -> Iterator[str]:
        for number in range(len(self.pages)):
            yield from self.page(number)[0]

    def __reversed__(self) -> Iterator[str]:
        for number in reversed(range(len(self.pages))):
            yield from reversed(self.page(number)[0])

    def __len__(self) -> int:
        return len(self.sums)

    def place_of(self, key: str) -> int | None:
        """Return the place of `key`, as in the index, or None."""
        for place in self.places_of(checksum(key)):
            number, within = divmod(place, A_PAGE)
            if self.page(number)[0][within] == key:
                return place
        return None

    def places_of(self, wanted: int) -> Iterator[int]:
        """Yield the places of all keys with this checksum."""
        at = bisect_left(self.sums, wanted)
        while at < len(self.sums) and self.sums[at] == wanted:
            yield self.places[at]
            at += 1  # two keys may share a checksum

    def page(self, number: int) -> tuple[list[str], list[Any]]:
        """Return the keys and the plain values of one page."""
        found = self._opened.get(number)
        if found is None:
            keys, values = entries_of(self.pages[number])
            if len(self._opened) >= PAGES_KEPT:
                self._opened = {}
            found = self._opened[number] = (keys, values)
        return found
