"""How people write the break of an operator: 1:30:00-40:00, counted from the start of the batch."""

from __future__ import annotations

from itertools import combinations
from typing import TYPE_CHECKING

from readbell.core.instant import DAY
from readbell.core.plan.batch.job import Break
from readbell.core.span_text import read_span

if TYPE_CHECKING:
    from collections.abc import Sequence

LATEST = DAY
"""No break ends later."""


def read_break(text: str) -> Break | None:
    """Return what `text` writes as OPERATOR:FROM-TO, the operator counted from 1; None if nothing."""
    who, _, times = text.partition(":")
    from_, _, until = times.partition("-")
    begins, ends = read_span(from_), read_span(until)
    if begins is None or ends is None or not begins < ends <= LATEST:
        return None
    if not (who.isascii() and who.isdecimal()) or not 1 <= len(who.lstrip("0")) <= 3:
        return None
    return Break(operator=int(who) - 1, begins=begins, ends=ends)


def overlapping(breaks: Sequence[Break]) -> Break | None:
    """Return a break that overlaps one before it of the same operator, or None."""
    for one, other in combinations(breaks, 2):
        same = one.operator == other.operator
        if same and one.begins < other.ends and other.begins < one.ends:
            return other
    return None
