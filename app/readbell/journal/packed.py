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
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

Value = TypeVar("Value")

A_PAGE = 64
"""Entries that are packed together."""
PAGES_KEPT = 64
VALUES_KEPT = 4_096
"""How much of what was unpacked is kept at hand (our own choice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Packing:
    """The entries of a mapping, packed."""

    count: int
    index: bytes
    """The checksum of each key in rising order, then the place of each in the order of entries."""
    pages: tuple[bytes, ...]


def packing(entries: Iterable[tuple[str, Any]]) -> Iterator[Packing | None]:
    """Pack `entries`, whose values are plain; yield None after each page, at last what was made."""
    pages: list[bytes] = []
    sums: list[int] = []
    page: list[tuple[str, Any]] = []
    for entry in entries:
        page.append(entry)
        sums.append(_sum(entry[0]))
        if len(page) == A_PAGE:
            pages.append(_packed(page))
            page = []
            yield None
    if page:
        pages.append(_packed(page))
    order = sorted(range(len(sums)), key=sums.__getitem__)
    index = array("I", (sums[place] for place in order)).tobytes() + array("I", order).tobytes()
    yield Packing(count=len(sums), index=index, pages=tuple(pages))


def _packed(page: list[tuple[str, Any]]) -> bytes:
    keys, values = [key for key, _ in page], [value for _, value in page]
    return zlib.compress(json.dumps([keys, values], separators=(",", ":")).encode(), 1)


def _sum(key: str) -> int:
    return zlib.crc32(key.encode(errors="surrogatepass"))


class Packed(Mapping[str, Value]):
    """The mapping that lies in `pages`.

    Args:
        index: as `Packing` has it.
        pages: the pages, each as it was packed.
        read: makes the value of a plain one.
    """

    __slots__ = ("_kept", "_opened", "_pages", "_places", "_read", "_sums")

    def __init__(
        self, index: memoryview, pages: list[memoryview], read: Callable[[Any], Value]
    ) -> None:
        half = len(index) // 2
        self._sums, self._places = index[:half].cast("I"), index[half:].cast("I")
        self._pages = pages
        self._read = read
        self._opened: dict[int, tuple[list[str], list[Any]]] = {}
        self._kept: dict[int, Value] = {}

    def __getitem__(self, key: str) -> Value:
        place = self._place(key)
        if place is None:
            raise KeyError(key)
        kept = self._kept.get(place)
        if kept is None:
            number, within = divmod(place, A_PAGE)
            kept = self._read(self._page(number)[1][within])
            if len(self._kept) >= VALUES_KEPT:
                self._kept = {}
            self._kept[place] = kept
        return kept

    def __contains__(self, key: object) -> bool:
        return isinstance(key, str) and self._place(key) is not None

    def __iter__(self) -> Iterator[str]:
        for number in range(len(self._pages)):
            yield from self._page(number)[0]

    def __reversed__(self) -> Iterator[str]:
        for number in reversed(range(len(self._pages))):
            yield from reversed(self._page(number)[0])

    def __len__(self) -> int:
        return len(self._sums)

    def plain(self) -> Iterator[tuple[str, Any]]:
        """Yield each key with its plain value, in order."""
        for number in range(len(self._pages)):
            yield from zip(*self._page(number), strict=True)

    def _place(self, key: str) -> int | None:
        wanted = _sum(key)
        at = bisect_left(self._sums, wanted)
        while at < len(self._sums) and self._sums[at] == wanted:
            place = self._places[at]
            number, within = divmod(place, A_PAGE)
            if self._page(number)[0][within] == key:
                return place
            at += 1  # two keys may share a checksum
        return None

    def _page(self, number: int) -> tuple[list[str], list[Any]]:
        found = self._opened.get(number)
        if found is None:
            keys, values = json.loads(zlib.decompress(self._pages[number]))
            if len(self._opened) >= PAGES_KEPT:
                self._opened = {}
            found = self._opened[number] = (keys, values)
        return found
