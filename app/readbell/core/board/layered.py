"""A mapping that lies over an older one and leaves it as it is.

A bay that has run for years knows many thousands of persons and cartridges, and
an event touches one or two. Copying all of them for each event, or even at each
start, would make every day cost as much as all the days before it. So what was
known lies below, in whatever form it is kept, and what changed since lies on top.

It behaves as the `dict` that one would get by writing the changes into a copy of
the older mapping: the same entries, in the same order.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, MutableMapping
from typing import Any, Protocol, TypeVar, cast

Value = TypeVar("Value")

MANY = 2_000
"""A mapping of more entries is not copied to change one of them (our own choice)."""


class _Reversed(Protocol):
    def __reversed__(self) -> Iterator[str]: ...


class Layered(MutableMapping[str, Value]):
    """An older mapping and what changed since.

    Whoever writes into one writes into a `copy`: what stands on a board is never changed.
    """

    __slots__ = ("_length", "below", "gone", "own")

    def __init__(
        self,
        below: Mapping[str, Value],
        own: Mapping[str, Value] | None = None,
        gone: frozenset[str] = frozenset(),
        length: int | None = None,
    ) -> None:
        """Lay `own` over `below`.

        Args:
            below: the older mapping; it must never change.
            own: entries that were written since; those of `below` are left out.
            gone: keys of `below` that were taken out, written again since or not.
            length: how many entries there are in all, where that is known.
        """
        self.below = below
        self.own: Mapping[str, Value] = {} if own is None else own
        self.gone = gone
        self._length = sum(1 for _ in self) if length is None else length

    def copy(self) -> Layered[Value]:
        """Return one that may be written to."""
        if isinstance(self.below, dict) and len(self.own) > MANY:
            return Layered(dict(self), {}, frozenset(), self._length)
        return Layered(self.below, dict(self.own), self.gone, self._length)

    def __getitem__(self, key: str) -> Value:
        try:
            return self.own[key]
        except KeyError:
            if key in self.gone:
                raise
        return self.below[key]

    def __contains__(self, key: object) -> bool:
        return key in self.own or (key not in self.gone and key in self.below)

    def __setitem__(self, key: str, value: Value) -> None:
        if key not in self:
            self._length += 1
        cast("dict[str, Value]", self.own)[key] = value

    def __delitem__(self, key: str) -> None:
        if key not in self:
            raise KeyError(key)
        self._length -= 1
        cast("dict[str, Value]", self.own).pop(key, None)
        if key in self.below:
            self.gone |= {key}

    def __iter__(self) -> Iterator[str]:
        gone = self.gone
        yield from (key for key in self.below if key not in gone)
        yield from (key for key in self.own if self._is_new(key))

    def __reversed__(self) -> Iterator[str]:
        gone = self.gone
        yield from (key for key in backwards(self.own) if self._is_new(key))
        yield from (key for key in backwards(self.below) if key not in gone)

    def __len__(self) -> int:
        return self._length

    def _is_new(self, key: str) -> bool:
        """Say whether `key` stands behind all of the older ones and not in its old place."""
        return key in self.gone or key not in self.below


def writable(found: Mapping[str, Value]) -> MutableMapping[str, Value]:
    """Return a copy of `found` that may be written to and costs little, however long `found` is."""
    if isinstance(found, Layered) and isinstance(found.own, dict):
        return found.copy()
    if isinstance(found, dict) and len(found) <= MANY:
        return dict(found)
    return Layered(found, length=len(found))


def newest(found: Mapping[str, Value]) -> Iterator[Value]:
    """Yield the values, the one entered last first; none is looked at before it is asked for."""
    return (found[key] for key in backwards(found))


def backwards(found: Mapping[str, Any]) -> Iterator[str]:
    """Yield the keys, the one entered last first."""
    # Every mapping that a board holds can be walked from its end; the type for it cannot say so.
    return reversed(cast("_Reversed", found))
