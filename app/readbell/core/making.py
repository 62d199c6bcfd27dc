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
    is given its true class. A class without slots, or one that looks at its fields as it
    begins, is made as it always is.
    """
    names = [each.name for each in fields(kind)]  # type: ignore[arg-type]  # a dataclass
    if "__slots__" not in vars(kind) or hasattr(kind, "__post_init__"):
        return lambda *given: kind(**dict(zip(names, given, strict=True)))
    lines = [f"self.{name} = {name}" for name in names] or ["pass"]
    begin = function_of(", ".join(["self", *names]), lines, {})
    twin = type(kind.__name__, (), {"__slots__": tuple(names), "__init__": begin})
    given = ", ".join(names)
    # No field begins with an underscore: none takes the place of these.
    lines = [f"_new = _twin({given})", "_new.__class__ = _kind", "return _new"]
    return function_of(given, lines, {"_twin": twin, "_kind": kind})


def changer_of(kind: type[Value]) -> Callable[..., Value]:
    """Return what makes a copy of a `kind` with the fields changed that are named to it."""
    names = [each.name for each in fields(kind)]  # type: ignore[arg-type]  # a dataclass
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
