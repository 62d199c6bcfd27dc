"""The decorator of frozen values: what it adds to a class is written when it is first asked for.

The standard library writes six functions for a frozen dataclass while its file is imported,
which takes half a millisecond. A start imports hundreds of them, and most are not made,
compared or printed for long. So a class gets its slots at once, and each function as soon
as somebody needs it. Those that most classes need, and whose form is plain, are written here as
the library would write them, in a seventh of its time; for all else it is asked itself.
And what begins a value is written once there were a few: of most classes a start makes one.
"""

from __future__ import annotations

import dataclasses
import sys
from dataclasses import MISSING, Field, FrozenInstanceError
from functools import partial
from types import FunctionType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    # To whoever checks types it is the one of the standard library.
    from dataclasses import dataclass as dataclass
else:

    def dataclass(*, frozen=False, slots=False, **options):
        """Return the decorator that the standard library has under this name, with its options.

        A class that it would refuse is refused at its first use, and no longer at its import.
        """
        whole = dataclasses.dataclass(frozen=frozen, slots=slots, **options)
        is_of_values = frozen and slots and options.keys() <= {"kw_only", "repr"}
        return partial(_slotted, whole=whole, options=options) if is_of_values else whole


_PARTS: dict[str, dict[str, bool]] = {
    "__init__": {"repr": False, "eq": False, "frozen": True},
    "__repr__": {"init": False, "eq": False},
    "__eq__": {"init": False, "repr": False},
    "__hash__": {"init": False, "repr": False, "frozen": True},
    "__dataclass_fields__": {"init": False, "repr": False, "eq": False},
    "__dataclass_params__": {"frozen": True, "slots": True},
}
"""What a class gets later, and what the standard library is asked for to get it."""
FEW = 16
"""Values of a class that are begun field by field before the function for it is written."""
_PLAIN = frozenset({"__init__", "__eq__", "__hash__"})
"""What of it is written here where no field asks for something rare."""
_OWN = frozenset(
    {"__init__", "__post_init__", "__eq__", "__hash__", "__setattr__", "__delattr__"}
    | {"__getstate__", "__setstate__", "__slots__", "__match_args__"}
)
"""A class that brings one of these is left to the standard library as a whole."""
_NO_FIELDS = ("ClassVar", "InitVar", "KW_ONLY")


def _slotted(kind: type, *, whole: Callable[[type], type], options: dict[str, bool]) -> type:
    hints: dict[str, str] = kind.__annotations__
    written = {
        name: each for name, each in vars(kind).items() if name not in {"__dict__", "__weakref__"}
    }
    if (
        type(kind) is not type
        or kind.__bases__ != (object,)
        or not _OWN.isdisjoint(written)
        or any(word in hint for hint in hints.values() for word in _NO_FIELDS)
        or any(isinstance(each, Field) and not each.init for each in written.values())
    ):
        return whole(kind)
    names, twin = tuple(hints), _Twin(kind, written, options)
    added = {
        "__slots__": names,
        "__match_args__": () if options.get("kw_only") else names,
        "__setattr__": _refuse_to_set,
        "__delattr__": _refuse_to_delete,
        "__getstate__": _state,
        "__setstate__": _set_state,
        **{
            part: _Later(part, twin)
            for part in _PARTS
            if part != "__repr__" or options.get("repr", True)
        },
    }
    own = {name: each for name, each in written.items() if name not in hints}
    # The library lets a class keep what it writes of these itself.
    value: type = type(kind.__name__, (), added | own)
    value.__qualname__ = kind.__qualname__
    return value


class _Twin:
    """A class as it was written, for what is to be added to it.

    Args:
        kind: the class.
        written: what stands in it.
        options: what it was decorated with, beside being frozen and having slots.
    """

    def __init__(self, kind: type, written: dict[str, Any], options: dict[str, bool]) -> None:
        self._kind, self._written, self._options = kind, written, options
        self._kw_only = options.get("kw_only", False)

    def by_library(self, part: str) -> Any:
        """Return the part as the library makes it."""
        found: type = type(self._kind.__name__, (), dict(self._written))
        found.__qualname__ = self._kind.__qualname__
        how = {**self._options, **_PARTS[part]}
        return vars(dataclasses.dataclass(**how)(found))[part]

    def plainly(self, part: str, owner: type) -> Callable[..., Any] | None:
        """Return the part of `owner` as it is written here, or None where that is the library's."""
        names = tuple(self._kind.__annotations__)
        if part not in _PLAIN or not self._is_plain(names):
            return None
        if part == "__init__":
            return self._begins(names, owner)
        fields = {each: self._written.get(each) for each in names}
        left_out = {
            name for name, each in fields.items() if isinstance(each, Field) and not each.compare
        }
        compared = [each for each in names if each not in left_out]
        if part == "__eq__":
            return _function(part, owner, "self, other", _equal(compared), {})
        return _function(part, owner, "self", [f"return hash({_each(compared, 'self')})"], {})

    def field_by_field(self, owner: type) -> Callable[..., None] | None:
        """Return what begins a value of `owner` without being written for it, or None."""
        names = tuple(self._kind.__annotations__)
        if not self._is_plain(names):
            return None
        known = {name: _usual(self._written.get(name, MISSING)) for name in names}
        asked = {name for name, (_, usual) in known.items() if usual is MISSING}
        by_place = 0 if self._kw_only else len(names)
        setters = [(name, vars(owner)[name].__set__) for name in names]

        def begin(self: object, *given: Any, **named: Any) -> None:
            taken = dict(zip(names, given, strict=False)) | named
            is_wrong = len(given) > by_place or len(taken) < len(given) + len(named)
            if is_wrong or not asked <= taken.keys() <= known.keys():
                owner.__init__(self, *given, **named)  # type: ignore[misc]  # raises what is wrong
            for name, put in setters:
                if name in taken:
                    put(self, taken[name])
                else:
                    make, usual = known[name]
                    put(self, usual if make is MISSING else make())

        return begin

    def _begins(self, names: tuple[str, ...], owner: type) -> Callable[..., Any]:
        """Return what a value begins with: its slots take from below what `__setattr__` refuses."""
        objects: dict[str, Any] = {"_made_anew": _MADE_ANEW}
        given, lines = ["self", *(["*"] if self._kw_only and names else [])], []
        for name in names:
            each = self._written.get(name, MISSING)
            factory, usual = _usual(each)
            objects |= {f"_set_{name}": vars(owner)[name].__set__, f"_usual_{name}": usual}
            value = name
            if factory is not MISSING:
                objects[f"_make_{name}"] = factory
                value = f"_make_{name}() if {name} is _made_anew else {name}"
            given.append(name if usual is MISSING else f"{name}=_usual_{name}")
            lines.append(f"_set_{name}(self, {value})")
        made = _function("__init__", owner, ", ".join(given), lines or ["pass"], objects)
        made.__annotations__ = {**self._kind.__annotations__, "return": None}
        return made

    def _is_plain(self, names: tuple[str, ...]) -> bool:
        """Say whether no field asks for more than is written here, or for what is refused."""
        some = False
        for name in names:
            each = self._written.get(name, MISSING)
            asks_more = isinstance(each, Field) and (each.hash, each.kw_only) != (None, MISSING)
            _, usual = _usual(each)
            # What the library refuses it has to see: one without a default after one with it, say.
            out_of_turn = usual is MISSING and some and not self._kw_only
            is_refused = type(usual).__hash__ is None or out_of_turn
            if asks_more or is_refused or name[0] == "_" or name == "self":
                return False
            some = some or usual is not MISSING
        return True


class _MadeAnew:
    """Stands for the value of a field that is made anew for each that has none given."""

    def __repr__(self) -> str:
        return "<factory>"


_MADE_ANEW = _MadeAnew()


def _usual(written: Any) -> tuple[Any, Any]:
    """Return what makes a field that is not given, and what it is then; MISSING: nothing does."""
    if not isinstance(written, Field):
        return MISSING, written
    made = written.default_factory
    return made, written.default if made is MISSING else _MADE_ANEW


def _equal(names: Sequence[str]) -> list[str]:
    return [
        "if other.__class__ is self.__class__:",
        f"    return {_each(names, 'self')} == {_each(names, 'other')}",
        "return NotImplemented",
    ]


def _each(names: Sequence[str], of: str) -> str:
    return f"({''.join(f'{of}.{name}, ' for name in names)})"


def _function(
    name: str, owner: type, head: str, lines: list[str], objects: dict[str, Any]
) -> Callable[..., Any]:
    """Return the function, made of the names of fields in this program's own source and no others."""
    body = "\n        ".join(lines)
    text = f"def make({', '.join(objects)}):\n    def {name}({head}):\n        {body}\n    return {name}"
    found: dict[str, Any] = {}
    exec(text, vars(sys.modules[owner.__module__]), found)  # noqa: S102
    made: Callable[..., Any] = found["make"](**objects)
    made.__qualname__ = f"{owner.__qualname__}.{name}"
    return made


class _Later:
    """Stands in a class for a part of it until somebody looks at that, and is gone then.

    Args:
        part: its name.
        twin: gives it.
    """

    def __init__(self, part: str, twin: _Twin) -> None:
        self._part, self._twin = part, twin
        self._begun = 0
        self._begin: Callable[..., None] | None = None

    def __set_name__(self, owner: type, _: str) -> None:
        self._owner = owner

    def __get__(self, value: object, kind: type) -> Any:
        if value is not None and self._part == "__init__" and self._begun < FEW:
            if not self._begun:
                self._begin = self._twin.field_by_field(self._owner)
            self._begun += 1
            if self._begin is not None:
                return partial(self._begin, value)
        found = self._twin.plainly(self._part, self._owner) or self._twin.by_library(self._part)
        # Two threads may both come here: they make the same.
        setattr(self._owner, self._part, found)
        return found.__get__(value, kind) if isinstance(found, FunctionType) else found


def _refuse_to_set(_: object, name: str, __: object) -> None:
    msg = f"cannot assign to field {name!r}"
    raise FrozenInstanceError(msg)


def _refuse_to_delete(_: object, name: str) -> None:
    msg = f"cannot delete field {name!r}"
    raise FrozenInstanceError(msg)


def _state(self: Any) -> list[Any]:
    return [getattr(self, name) for name in type(self).__slots__]


def _set_state(self: Any, state: list[Any]) -> None:
    for name, each in zip(type(self).__slots__, state, strict=True):
        object.__setattr__(self, name, each)
