"""The manners of working that the pure planner tries, for so many operators.

Found by trial on two assays of the usual shape, with and without gloves, 4 to 80
people: they are the ones that together came closest to the bound. Nothing rests on
them but how short a plan gets, for each timetable is checked, and whatever they
come to is told beside the bound.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.plan.batch.dispatch import COMMIT, GO_ON, READ, START, Manner

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.plan.batch.job import Batch

_ORDERS = {
    "new": (START, GO_ON, READ),
    "open": (GO_ON, START, READ),
    "finish": (GO_ON, READ, START),
    "read": (READ, START, GO_ON),
    "turns": (COMMIT, READ, START, GO_ON),
}

_ALONE = (("new", "1", "0"), ("open", "1", "0"))
_TWO = (
    ("turns", "21", "02"),
    ("new", "11", "02"),
    ("open", "22", "01"),
    ("finish", "21", "00"),
    ("new", "22", "02"),
    ("new", "10", "04"),
    ("open", "12", "01"),
    ("read", "21", "00"),
    ("open", "22", "00"),
    ("open", "22", "07"),
    ("new", "21", "01"),
    ("turns", "10", "04"),
    ("open", "12", "02"),
    ("new", "22", "01"),
    ("finish", "12", "02"),
)
_THREE = (
    ("read", "121", "010"),
    ("new", "222", "024"),
    ("new", "120", "036"),
    ("new", "220", "024"),
    ("new", "220", "070"),
    ("new", "111", "012"),
    ("turns", "221", "000"),
    ("turns", "222", "020"),
    ("open", "111", "000"),
    ("new", "112", "405"),
    ("read", "220", "000"),
    ("new", "112", "012"),
    ("new", "210", "024"),
    ("turns", "222", "000"),
    ("turns", "211", "024"),
    ("new", "221", "010"),
    ("new", "110", "012"),
    ("finish", "211", "012"),
    ("turns", "022", "040"),
    ("new", "211", "020"),
    ("read", "221", "024"),
    ("turns", "012", "012"),
    ("turns", "210", "040"),
)
_FOUR = (
    ("read", "2111", "0123"),
    ("new", "2211", "0101"),
    ("turns", "0111", "0202"),
    ("new", "2110", "0303"),
    ("turns", "2221", "0101"),
    ("new", "1012", "0404"),
    ("finish", "1212", "0000"),
    ("new", "2022", "0123"),
    ("new", "1111", "0305"),
    ("read", "1222", "0202"),
    ("read", "1222", "0246"),
    ("new", "2111", "0202"),
    ("finish", "1112", "0123"),
    ("new", "2200", "0123"),
    ("read", "2221", "0000"),
    ("new", "1112", "0202"),
    ("new", "1111", "0123"),
    ("open", "0000", "0000"),
    ("finish", "2222", "0101"),
    ("open", "2110", "0123"),
    ("read", "2211", "0123"),
    ("open", "1111", "0707"),
    ("turns", "1110", "0123"),
    ("new", "2222", "0101"),
    ("new", "2220", "0246"),
)
_BY_OPERATORS = {1: _ALONE, 2: _TWO, 3: _THREE}
_NINTH = 9
"""Operators begin so many ninths of the first piece apart."""


def manners(batch: Batch, most: int) -> Iterator[Manner]:
    """Yield manners of working for the crew of `batch`, the most useful first, `most` at most."""
    for order, ahead, late in _BY_OPERATORS.get(batch.operators, _FOUR)[:most]:
        yield Manner(
            _ORDERS[order],
            tuple(int(ahead[each % len(ahead)]) for each in range(batch.operators)),
            tuple(
                int(late[each % len(late)]) * batch.takes[0] // _NINTH
                for each in range(batch.operators)
            ),
        )
