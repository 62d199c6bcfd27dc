"""Any value of the core as plain JSON, and back: what a snapshot is made of.

Nothing here knows what a board holds. A value says itself what it is, so a class
or a field that is added is kept as well. What was written is read only by the very
program that wrote it (see `snapshot`), so no shape of it is ever lifted.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import is_dataclass
from datetime import date
from enum import Enum
from importlib import import_module
from operator import attrgetter
from typing import Any

from readbell.core.assay.assay import Assay
from readbell.core.making import function_of, maker_of, names_of, one_of
from readbell.journal.columns import PLAIN, read_column, write_column

_TUPLE, _SET, _DATE, _MAPPING, _ASSAY, _COLUMNS = range(6)
_FIRST_CLASS = 6
"""From here on the number in front is that of a class."""
MANY = 32
"""Values of one class in a mapping that are kept field by field."""
FEW = 8
"""Values of a class before what makes them is written."""
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
            self._read_columns,
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
        if kind in PLAIN:
            return value
        writer = self._writers.get(kind)
        if writer is None:
            writer = self._writers[kind] = self._writer(kind)
        return writer(value)

    def read(self, found: Any) -> Any:
        """Return the value that `found` was made of."""
        return self._readers[found[0]](found) if type(found) is list else found

    def place_of(self, kind: type) -> int:
        """Return the place of a class among those met so far, to which it is added."""
        name = f"{kind.__module__}:{kind.__qualname__}"
        place = self._places.get(name)
        if place is None:
            place = self._places[name] = len(self.classes)
            self.classes.append(name)
            self._readers.append(self._reader(place))
        return place

    def make(self, place: int) -> Callable[..., Any]:
        """Return what makes a value of the class at `place` of its fields in their order."""
        return maker_of(self._kind(place))

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
            return self._write_mapping
        if kind is Assay:
            return self._write_assay
        if is_dataclass(kind) or issubclass(kind, Enum):
            return self._write_class
        msg = f"{kind.__name__} cannot be kept in a snapshot"
        raise TypeError(msg)

    def _write_mapping(self, value: Mapping[Any, Any]) -> list[Any]:
        kinds = set(map(type, value.values()))
        if len(value) >= MANY and len(kinds) == 1 and is_dataclass(kinds.pop()):
            keys, values = list(value), list(value.values())
            return [_COLUMNS, len(keys), write_column(keys, self), write_column(values, self)]
        return [_MAPPING, *(self.write(part) for pair in value.items() for part in pair)]

    def _read_columns(self, found: list[Any]) -> dict[Any, Any]:
        _, count, keys, values = found
        return dict(
            zip(read_column(keys, count, self), read_column(values, count, self), strict=True)
        )

    def _write_assay(self, assay: Assay) -> list[Any]:
        for place, each in enumerate(self._assays):
            if each is assay or each == assay:
                return [_ASSAY, place]
        self._assays.append(assay)
        return [_ASSAY, len(self._assays) - 1]

    def _write_class(self, value: Any) -> list[Any]:
        kind = type(value)
        head = self.place_of(kind) + _FIRST_CLASS
        if issubclass(kind, Enum):
            words = {each: [head, each.value] for each in kind}
            self._writers[kind] = words.__getitem__
            return words[value]
        parts = ", ".join(
            f"v.{each} if type(v.{each}) in plain else w(v.{each})" for each in names_of(kind)
        )
        written: Callable[[Any], list[Any]] = function_of(
            "v", [f"return [head, {parts}]"], {"head": head, "plain": PLAIN, "w": self.write}
        )
        if kind is not Assay:
            self._writers[kind] = written
        return written(value)

    def _reader(self, place: int) -> Callable[[list[Any]], Any]:
        """Return what reads the values of a class; the class is looked for when one is met."""

        met = 0

        def first(found: list[Any]) -> Any:
            nonlocal met
            met += 1
            kind = self._kind(place)
            if met <= FEW and not issubclass(kind, Enum):
                return one_of(kind, self._parts(found[1:]))
            made = self._readers[place + _FIRST_CLASS] = self._maker(kind)
            return made(found)

        return first

    def _kind(self, place: int) -> type:
        module, _, name = self.classes[place].partition(":")
        if not module.startswith(_HOME):
            msg = f"{module} is no part of the core"
            raise ValueError(msg)
        kind: type = attrgetter(name)(import_module(module))
        return kind

    def _maker(self, kind: type) -> Callable[[list[Any]], Any]:
        if issubclass(kind, Enum):
            words = {each.value: each for each in kind}
            return lambda found: words[found[1]]
        names = [f"v{place}" for place in range(len(names_of(kind)))]
        parts = ", ".join(f"r[{v}[0]]({v}) if type({v}) is list else {v}" for v in names)
        taken = f"_, {', '.join(names)}," if names else "_,"
        return function_of(
            "found",
            [f"{taken} = found", f"return make({parts})"],
            {"make": maker_of(kind), "r": self._readers},
        )
