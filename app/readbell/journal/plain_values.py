"""Any value of the core as plain JSON, and back: what a snapshot is made of.

Nothing here knows what a board holds. A value says itself what it is, so a class
or a field that is added is kept as well. What was written is read only by the very
program that wrote it (see `snapshot`), so no shape of it is ever lifted.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from datetime import date
from enum import Enum
from importlib import import_module
from operator import attrgetter
from typing import Any

from readbell.core.assay.assay import Assay
from readbell.core.making import function_of, maker_of

_PLAIN = frozenset({str, int, float, bool, type(None)})
_TUPLE, _SET, _DATE, _MAPPING, _ASSAY = range(5)
_FIRST_CLASS = 5
"""From here on the number in front is that of a class."""
_HOME = "readbell.core."
"""No other code is ever named by a snapshot."""


class Plain:
    """Turns values into plain ones and back, with the classes and assays they name.

    Args:
        classes: names of the classes met so far; a value names one by its place.
        assays: those met so far. They are long and most cartridges share one.
    """

    def __init__(self, classes: list[str], assays: list[Any]) -> None:
        self.classes = list(classes)
        self._places = {name: place for place, name in enumerate(self.classes)}
        self._writers: dict[type, Callable[[Any], Any]] = {}
        self._readers: list[Callable[[list[Any]], Any]] = [
            self._read_tuple,
            lambda found: frozenset(map(self.read, found[1:])),
            lambda found: date.fromisoformat(found[1]),
            lambda found: dict(
                zip(self._parts(found[1::2]), self._parts(found[2::2]), strict=True)
            ),
            lambda found: self._assays[found[1]],
        ]
        self._readers += map(self._reader, range(len(self.classes)))
        self._assays: list[Assay] = []
        self._assays += [self._readers[each[0]](each) for each in assays]

    @property
    def assays(self) -> list[Any]:
        """The assays met so far, as plain values."""
        return [self._write_class(each) for each in self._assays]

    def write(self, value: Any) -> Any:
        """Return `value` as a plain one.

        Raises:
            TypeError: it is of no kind that a board is to hold.
        """
        kind = type(value)
        if kind in _PLAIN:
            return value
        writer = self._writers.get(kind)
        if writer is None:
            writer = self._writers[kind] = self._writer(kind)
        return writer(value)

    def read(self, found: Any) -> Any:
        """Return the value that `found` was made of."""
        return self._readers[found[0]](found) if type(found) is list else found

    def _parts(self, found: list[Any]) -> list[Any]:
        readers = self._readers
        return [readers[each[0]](each) if type(each) is list else each for each in found]

    def _read_tuple(self, found: list[Any]) -> tuple[Any, ...]:
        if len(found) == 1:
            return ()  # as most of a cartridge's are
        return tuple(self._parts(found[1:]))

    def _writer(self, kind: type) -> Callable[[Any], Any]:
        if kind is tuple:
            return lambda value: [_TUPLE, *map(self.write, value)]
        if kind is frozenset:
            # In one order, so that the same board gives the same bytes.
            return lambda value: [_SET, *sorted(map(self.write, value), key=repr)]
        if kind is date:
            return lambda value: [_DATE, value.isoformat()]
        if issubclass(kind, Mapping):
            return lambda value: [
                _MAPPING,
                *(self.write(part) for pair in value.items() for part in pair),
            ]
        if kind is Assay:
            return self._write_assay
        if is_dataclass(kind) or issubclass(kind, Enum):
            return self._write_class
        msg = f"{kind.__name__} cannot be kept in a snapshot"
        raise TypeError(msg)

    def _write_assay(self, assay: Assay) -> list[Any]:
        for place, each in enumerate(self._assays):
            if each is assay or each == assay:
                return [_ASSAY, place]
        self._assays.append(assay)
        return [_ASSAY, len(self._assays) - 1]

    def _write_class(self, value: Any) -> list[Any]:
        kind = type(value)
        name = f"{kind.__module__}:{kind.__qualname__}"
        place = self._places.get(name)
        if place is None:
            place = self._places[name] = len(self.classes)
            self.classes.append(name)
            self._readers.append(self._reader(place))
        head = place + _FIRST_CLASS
        if issubclass(kind, Enum):
            words = {each: [head, each.value] for each in kind}
            self._writers[kind] = words.__getitem__
            return words[value]
        parts = ", ".join(
            f"v.{each.name} if type(v.{each.name}) in plain else w(v.{each.name})"
            for each in fields(kind)
        )
        written: Callable[[Any], list[Any]] = function_of(
            "v", [f"return [head, {parts}]"], {"head": head, "plain": _PLAIN, "w": self.write}
        )
        if kind is not Assay:
            self._writers[kind] = written
        return written(value)

    def _reader(self, place: int) -> Callable[[list[Any]], Any]:
        """Return what reads the values of a class; the class is looked for when one is met."""

        def first(found: list[Any]) -> Any:
            made = self._readers[place + _FIRST_CLASS] = self._maker(self.classes[place])
            return made(found)

        return first

    def _maker(self, called: str) -> Callable[[list[Any]], Any]:
        module, _, name = called.partition(":")
        if not module.startswith(_HOME):
            msg = f"{module} is no part of the core"
            raise ValueError(msg)
        kind = attrgetter(name)(import_module(module))
        if issubclass(kind, Enum):
            words = {each.value: each for each in kind}
            return lambda found: words[found[1]]
        names = [f"v{place}" for place in range(len(fields(kind)))]
        parts = ", ".join(f"r[{v}[0]]({v}) if type({v}) is list else {v}" for v in names)
        taken = f"_, {', '.join(names)}," if names else "_,"
        return function_of(
            "found",
            [f"{taken} = found", f"return make({parts})"],
            {"make": maker_of(kind), "r": self._readers},
        )
