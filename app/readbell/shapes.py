"""Between frozen values and JSON, by functions made once for each class.

A journal turns events into bytes and back all day, and a million of them at a
time when it is checked. Looking at the fields of a class for each of them took
most of that time. So the fields are looked at once, and a function is written
from what was found, as the standard library does for a dataclass itself.

Writing gives one fixed form: keys sorted, no spaces, letters as they are. Those
bytes are hashed, so they are never to change. Reading is exact: a number is no
text, a word that an enumeration has not is refused, and what was left out is
refused unless the class says what it is then.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import MISSING, Field, fields, is_dataclass
from datetime import date
from enum import StrEnum
from functools import cache, cached_property
from json.encoder import encode_basestring
from math import isfinite
from types import NoneType, UnionType
from typing import Any, NewType, Union, get_args, get_origin, get_type_hints

from readbell.core.made_later import dataclass
from readbell.core.making import LATER, function_of, maker_of
from readbell.core.private import Private

Write = Callable[[Any], str]
Read = Callable[[Any], Any]

_AS_CHAINED = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False)
_BOOLEANS = {True: "true", False: "false"}


class Shape:
    """How values of one class are written and read; each is worked out at its first use.

    A `Private` directly in it is not written itself: `write` hands it to its second
    argument, and `read` asks its own for it.
    """

    def __init__(self, kind: type) -> None:
        self._kind = kind

    @cached_property
    def write(self) -> Callable[[Any, Write], str]:
        """Takes the value, and what is written for each `Private` in it."""
        return _writer(self._kind, self._hints)

    @cached_property
    def read(self) -> Callable[[Any, Read], Any]:
        """Takes what was parsed, and what gives the `Private` for what stands in its place.

        Raises TypeError, ValueError or KeyError where the one is no such value.
        """
        return _reader(self._kind, self._hints)

    @cached_property
    def private(self) -> tuple[str, ...]:
        """The fields that hold a `Private`."""
        hints = self._hints
        return tuple(each.name for each in fields(self._kind) if _is_private(hints[each.name]))

    @cached_property
    def _hints(self) -> dict[str, Any]:
        return get_type_hints(self._kind)


_SHAPES: dict[type, Shape] = {}


def shape_of(kind: type) -> Shape:
    """Return the shape of the dataclass `kind`."""
    found = _SHAPES.get(kind)
    if found is None:
        found = _SHAPES[kind] = Shape(kind)
    return found


def write(value: Any) -> str:
    """Return `value`, of a dataclass without a `Private` in it, in the fixed form."""
    return shape_of(type(value)).write(value, _no_private)


def _no_private(_: Any) -> str:
    raise TypeError


def _is_private(hint: Any) -> bool:
    return hint in (Private, Private | None)


class _Made:
    """A function in the making: its lines, and the objects its lines speak of."""

    def __init__(self) -> None:
        self.objects: dict[str, Any] = {
            "s": encode_basestring,
            # Not str(): what is no whole number must never get into the record as one.
            "i": int.__repr__,
            "b": _BOOLEANS,
            "f": _write_float,
            "d": date.isoformat,
            "wrong": _wrong,
        }

    def name(self, thing: Any) -> str:
        """Return a name by which the function may speak of `thing`."""
        name = f"o{len(self.objects)}"
        self.objects[name] = thing
        return name

    def function(self, head: str, lines: list[str]) -> Callable[..., Any]:
        """Return the function."""
        return function_of(head, lines, self.objects)


def _writer(kind: type, hints: dict[str, Any]) -> Callable[[Any, Write], str]:
    made, pieces, before = _Made(), [], "{"
    for each in sorted(fields(kind), key=lambda each: each.name):
        begun, written = (
            f'{before}"{each.name}":',
            _written(hints[each.name], f"v.{each.name}", made),
        )
        if LATER.items() <= each.metadata.items():
            # One that is always written goes before it, or a comma would open the object.
            assert before == ","  # noqa: S101
            default = made.name(each.default)
            pieces.append(f"('' if v.{each.name} == {default} else {begun!r} + {written})")
            continue
        pieces += [repr(begun), written]
        before = ","
    return made.function("v, p", [f"return ''.join(({', '.join(pieces)}, '}}'))"])


def _written(hint: Any, value: str, made: _Made) -> str:
    """Return the expression that writes what `value` stands for, which is a `hint`."""
    plain = _underlying(hint)
    match plain:
        case type() if plain is str or issubclass(plain, StrEnum):
            return f"s({value})"
        case type() if plain is int:
            return f"i({value})"
        case type() if plain is bool:
            return f"b[{value}]"
        case type() if plain is float:
            return f"f({value})"
        case type() if plain is date:
            return f"""('"' + d({value}) + '"')"""
        case type() if plain is Private:
            return f"p({value})"
        case type() if is_dataclass(plain):
            return f"{made.name(shape_of(plain).write)}({value}, p)"
    if (inner := _or_none(plain)) is not None:
        return f"('null' if {value} is None else {_written(inner, value, made)})"
    if (inner := _each_of(plain)) is not None:
        each = f"x{value.count('x')}"
        written = _written(inner, each, made)
        return f"('[]' if not {value} else '[' + ','.join([{written} for {each} in {value}]) + ']')"
    if (parts := _one_of_each(plain)) is not None:
        inside = " + ',' + ".join(
            _written(part, f"{value}[{place}]", made) for place, part in enumerate(parts)
        )
        return f"('[' + {inside} + ']' if len({value}) == {len(parts)} else wrong())"
    return f"{made.name(_other(plain).write)}({value})"


def _reader(kind: type, hints: dict[str, Any]) -> Callable[[Any, Read], Any]:
    made = _Made()
    lines, given = ["if type(v) is not dict: wrong()"], []
    for place, each in enumerate(fields(kind)):
        found = f"f{place}"
        lines += _taken(each, found, made, _checked(hints[each.name], found, made))
        given.append(found)
    maker = made.name(maker_of(kind))
    return made.function("v, p", [*lines, f"return {maker}({', '.join(given)})"])


def _taken(each: Field[Any], found: str, made: _Made, checked: list[str]) -> list[str]:
    """Return the lines that take a field out of what was parsed and check it."""
    taken = [f"{found} = v[{each.name!r}]", *checked]
    if each.default is MISSING:
        return taken
    left_out = f"    {found} = {made.name(each.default)}"
    return [f"if {each.name!r} in v:", *(f"    {line}" for line in taken), "else:", left_out]


def _checked(hint: Any, found: str, made: _Made) -> list[str]:
    """Return the lines that turn what `found` stands for into a `hint`, or refuse it."""
    plain = _underlying(hint)
    match plain:
        case type() if plain in (str, int, bool):
            return [f"if type({found}) is not {plain.__name__}: wrong()"]
        case type() if plain is float:
            return [
                f"if type({found}) is not float:",
                f"    if type({found}) is not int: wrong()",
                f"    {found} = float({found})",
                f"if not {made.name(isfinite)}({found}): wrong()",
            ]
        case type() if plain is date:
            return [f"{found} = {made.name(date.fromisoformat)}({found})"]
        case type() if issubclass(plain, StrEnum):
            words = made.name({each.value: each for each in plain})
            return [f"{found} = {words}[{found}]"]
        case type() if plain is Private:
            return [f"{found} = p({found})"]
        case type() if is_dataclass(plain):
            return [f"{found} = {made.name(shape_of(plain).read)}({found}, p)"]
    if (inner := _or_none(plain)) is not None:
        lines = _checked(inner, found, made)
        return [f"if {found} is not None:", *(f"    {line}" for line in lines)]
    if (inner := _each_of(plain)) is not None:
        each, kept = f"{found}x", f"{found}k"
        lines = _checked(inner, each, made)
        return [
            f"if type({found}) is not list: wrong()",
            f"if not {found}: {found} = ()",
            "else:",
            f"    {kept} = []",
            f"    for {each} in {found}:",
            *(f"        {line}" for line in lines),
            f"        {kept}.append({each})",
            f"    {found} = tuple({kept})",
        ]
    if (parts := _one_of_each(plain)) is not None:
        lines = [f"if type({found}) is not list or len({found}) != {len(parts)}: wrong()"]
        names = [f"{found}p{place}" for place in range(len(parts))]
        for place, (name, each) in enumerate(zip(names, parts, strict=True)):
            lines += [f"{name} = {found}[{place}]", *_checked(each, name, made)]
        return [*lines, f"{found} = ({', '.join(names)},)"]
    return [f"{found} = {made.name(_other(plain).read)}({found})"]


def _wrong() -> None:
    raise TypeError


def _write_float(value: float) -> str:
    # For what is no number JSON has no word (RFC 8259, section 6).
    if type(value) not in (float, int) or not isfinite(value):
        raise TypeError
    return _AS_CHAINED.encode(value)


def _underlying(hint: Any) -> Any:
    """Return what `hint` is at run time."""
    while isinstance(hint, NewType):
        hint = hint.__supertype__
    return hint


def _or_none(hint: Any) -> Any | None:
    """Return the type in an optional one, or None where it is not optional."""
    if get_origin(hint) not in (Union, UnionType):
        return None
    inside = [each for each in get_args(hint) if each is not NoneType]
    return inside[0] if len(inside) == 1 and len(get_args(hint)) == 2 else None


def _each_of(hint: Any) -> Any | None:
    """Return the type of each part of a tuple of any length, or None where it is none."""
    inside = get_args(hint)
    is_such = get_origin(hint) is tuple and len(inside) == 2 and inside[1] is Ellipsis
    return inside[0] if is_such else None


def _one_of_each(hint: Any) -> tuple[Any, ...] | None:
    """Return the type of each part of a tuple of a fixed length, or None where it is none."""
    inside = get_args(hint)
    is_such = get_origin(hint) is tuple and bool(inside) and Ellipsis not in inside
    return inside if is_such else None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Other:
    write: Write
    read: Read


@cache
def _other(hint: Any) -> _Other:
    """Return how anything else is written and read: rare, and left to the library for it."""
    from pydantic import TypeAdapter

    adapter: TypeAdapter[Any] = TypeAdapter(hint)

    def written(value: Any) -> str:
        return _AS_CHAINED.encode(adapter.dump_python(value, mode="json"))

    return _Other(write=written, read=adapter.validate_python)
