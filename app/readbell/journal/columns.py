"""Many values of one kind as plain JSON, field by field: what all that runs is kept as.

Value by value each field would say anew what it is, and be looked at anew when it is
read: of a thousand cartridges that is most of a start. What is the same in all of
them is written once.
"""

from __future__ import annotations

from dataclasses import is_dataclass
from itertools import islice
from operator import attrgetter
from typing import TYPE_CHECKING, Any, Protocol

from readbell.core.assay.assay import Assay
from readbell.core.making import names_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

PLAIN = frozenset({str, int, float, bool, type(None)})
_SAME, _AS_THEY_ARE, _EACH, _CLASS, _PARTS, _ROWS, _LIKE = range(7)
_OF_PARTS: dict[type, int] = {tuple: 0, frozenset: 1}
_MADE_OF_PARTS: tuple[Callable[..., Any], ...] = (tuple, frozenset)


class Values(Protocol):
    """Who turns single values into plain ones and back, and knows the classes."""

    def write(self, value: Any) -> Any:
        """Return `value` as a plain one."""

    def read(self, found: Any) -> Any:
        """Return the value that `found` was made of."""

    def place_of(self, kind: type) -> int:
        """Return the place of a class among those that were met."""

    def make(self, place: int) -> Callable[..., Any]:
        """Return what makes a value of that class of its fields in their order."""


def write_column(values: Sequence[Any], by: Values) -> list[Any]:
    """Return `values`, of which there is one at least, as one plain value.

    Raises:
        TypeError: one is of no kind that a board is to hold.
    """
    first, kinds = values[0], set(map(type, values))
    # The same object, or plain and of one type: 1 is equal to True.
    if all(each is first for each in values) or (
        len(kinds) == 1 and kinds <= PLAIN and all(each == first for each in values)
    ):
        return [_SAME, by.write(first)]
    if kinds <= PLAIN:
        return [_AS_THEY_ARE, list(values)]
    kind = kinds.pop()
    if not kinds and kind in _OF_PARTS:
        return _write_parts(kind, values, by)
    if not kinds and is_dataclass(kind) and kind is not Assay:
        columns = [list(map(attrgetter(name), values)) for name in names_of(kind)]
        return [_CLASS, by.place_of(kind), *_side_by_side(columns, by)]
    return [_EACH, list(map(by.write, values))]


def read_column(found: list[Any], count: int, by: Values) -> list[Any]:
    """Return the `count` values that `found` was made of."""
    how = found[0]
    if how == _SAME:
        return [by.read(found[1])] * count
    if how == _AS_THEY_ARE:
        return list(found[1])
    if how == _EACH:
        return list(map(by.read, found[1]))
    if how == _PARTS:
        made, lengths = _MADE_OF_PARTS[found[1]], read_column(found[2], count, by)
        parts = iter(read_column(found[3], sum(lengths), by))
        return [made(islice(parts, length)) for length in lengths]
    columns: list[list[Any]] = []
    for each in found[2:]:
        like = each[0] == _LIKE
        columns.append(columns[each[1]] if like else read_column(each, count, by))
    if how == _ROWS:
        return list(map(_MADE_OF_PARTS[found[1]], zip(*columns, strict=True)))
    return list(map(by.make(found[1]), *columns))


def _side_by_side(columns: Sequence[Sequence[Any]], by: Values) -> Iterator[list[Any]]:
    """Write columns of one length; one that is like another before it only says so.

    When something was done, and since and until when that may have been, is mostly one instant.
    """
    for place, column in enumerate(columns):
        same = (at for at, other in enumerate(columns[:place]) if _are_alike(column, other))
        like = next(same, None)
        yield write_column(column, by) if like is None else [_LIKE, like]


def _are_alike(one: Sequence[Any], other: Sequence[Any]) -> bool:
    """Say whether two columns hold the same plain values, each of the same type."""
    kinds = set(map(type, one))
    # Of one type each: 1 is equal to True.
    return len(kinds) == 1 and kinds <= PLAIN and kinds == set(map(type, other)) and one == other


def _write_parts(kind: type, values: Sequence[Any], by: Values) -> list[Any]:
    """Write tuples or sets: all their parts in one column, or a column for each place."""
    # In one order, so that the same board gives the same bytes.
    rows = [sorted(each, key=repr) for each in values] if kind is frozenset else values
    lengths = list(map(len, rows))
    parts = [part for row in rows for part in row]
    if len(set(map(type, parts))) > 1 and len(set(lengths)) == 1:
        columns = list(map(list, zip(*rows, strict=True)))
        return [_ROWS, _OF_PARTS[kind], *_side_by_side(columns, by)]
    if not parts:
        return [_SAME, by.write(values[0])]
    return [_PARTS, _OF_PARTS[kind], write_column(lengths, by), write_column(parts, by)]
