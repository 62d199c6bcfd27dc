"""Making frozen values, and changed copies of them, at the least cost.

A frozen dataclass sets each of its fields by a call, and a changed copy of one looks
all its fields up again. A board takes in a million events when a long record is read
back, and for each of them a few values are made. So what makes them is written once
for each class, as the standard library writes what it adds to a dataclass.
"""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

Value = TypeVar("Value")

LATER: Mapping[str, bool] = {"later": True}
"""Metadata of a field that its class was given after journals held values of it.

It must have a default, and is written only where it differs from that: whatever was written
before it came is written the same way still, to the last byte.
"""


def maker_of(kind: type[Value]) -> Callable[..., Value]:
    """Return what makes a `kind`, a frozen dataclass, of its fields in their order.

    Of a twin with the same slots that is not frozen the fields are set at once; then it
    is given its true class. A class without slots or upon another, or one that looks at its
    fields as it begins, is made as it always is.
    """
    made = _MAKERS.get(kind)
    if made is None:
        made = _MAKERS[kind] = _maker(kind)
    return made


_MAKERS: dict[type, Callable[..., Any]] = {}


def _maker(kind: type[Value]) -> Callable[..., Value]:
    names = names_of(kind)
    if not _is_set_field_by_field(kind):
        return lambda *given: kind(**dict(zip(names, given, strict=True)))
    given = ", ".join(names)
    # Both in one go, which costs half. No field begins with an underscore: none takes their place.
    text = "\n".join(
        [
            f"def begin({', '.join(['self', *names])}):",
            *([f"    self.{name} = {name}" for name in names] or ["    pass"]),
            f"def made({given}):",
            f"    _new = _twin({given})",
            "    _new.__class__ = _kind",
            "    return _new",
        ]
    )
    found: dict[str, Any] = {"_kind": kind}
    exec(text, found)  # noqa: S102  # as below: of names in this program's own source alone
    twin = {"__slots__": tuple(names), "__init__": found.pop("begin")}
    found["_twin"] = type(kind.__name__, (), twin)
    made: Callable[..., Value] = found["made"]
    return made


def names_of(kind: type) -> Sequence[str]:
    """Return the names of the fields of a dataclass, in their order."""
    if _is_slots_alone(kind):
        slots: Sequence[str] = kind.__slots__  # type: ignore[attr-defined]
        return slots  # to ask the library has it look at each field
    return [each.name for each in fields(kind)]


def _is_set_field_by_field(kind: type) -> bool:
    """Say whether a `kind` is made by its fields alone, and looks at none of them as it begins."""
    return _is_slots_alone(kind) and not hasattr(kind, "__post_init__")


def _is_slots_alone(kind: type) -> bool:
    """Say whether all that a value of `kind` holds lies in slots that the class itself names."""
    return "__slots__" in vars(kind) and kind.__bases__ == (object,)


def one_of(kind: type[Value], given: Sequence[Any]) -> Value:
    """Return a `kind` of its fields in their order: what a few of them are made by.

    To write what makes them takes as long as making a hundred this way.
    """
    names = names_of(kind)
    if not _is_set_field_by_field(kind):
        return kind(**dict(zip(names, given, strict=True)))
    made = object.__new__(kind)
    for name, each in zip(names, given, strict=True):
        object.__setattr__(made, name, each)
    return made


def changer_of(kind: type[Value]) -> Callable[..., Value]:
    """Return what makes a copy of a `kind` with the fields changed that are named to it."""
    names = names_of(kind)
    head = ", ".join(["_old", "*", *(f"{name}=_kept" for name in names)])
    each = ", ".join(f"_old.{name} if {name} is _kept else {name}" for name in names)
    objects = {"_make": maker_of(kind), "_kept": object()}
    return function_of(head, [f"return _make({each})"], objects)


def function_of(head: str, lines: Sequence[str], objects: Mapping[str, Any]) -> Callable[..., Any]:
    """Return the function with the parameters `head` and the body `lines`.

    It is put together from the names of fields in this program's own source, and of
    nothing that comes from outside.

    Args:
        head: the parameters.
        lines: the body, a statement a line.
        objects: what the lines speak of by name.
    """
    found = dict(objects)
    exec("\n    ".join([f"def made({head}):", *lines]), found)  # noqa: S102
    made: Callable[..., Any] = found["made"]
    return made
