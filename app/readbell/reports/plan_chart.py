"""A batch plan as a picture of signs: a lane for each operator, a row for each person."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import MINUTE, Span
from readbell.core.made_later import dataclass
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.plan.batch.job import Batch
    from readbell.core.plan.batch.plan import Placed, Plan

LABEL = 12
"""Columns before the axis."""
NARROWEST = 20
TICKS = tuple(Span(minutes * MINUTE) for minutes in (1, 2, 5, 10, 15, 30, 60, 120, 240, 480))
TICK_APART = 9


@dataclass(frozen=True, slots=True, kw_only=True)
class Signs:
    """What is drawn for what; all of them differ without any colour."""

    first: str
    further: str
    reading: str
    waiting: str
    idle: str = " "


FULL = Signs(first="█", further="▒", reading="●", waiting="·")
PLAIN = Signs(first="#", further="=", reading="o", waiting=".")


def chart(batch: Batch, plan: Plan, wide: int, signs: Signs) -> Iterator[str]:
    """Yield the picture line by line, each at most `wide` columns.

    Where a column holds several pieces, the one that takes most of it is drawn.
    """
    columns = max(NARROWEST, wide - LABEL)
    each = -(-plan.ends // columns)
    yield from _axis(plan.ends, each, columns)
    for operator in range(batch.operators):
        lane = _row(batch, plan.of_operator(operator), each, columns, signs)
        yield _line(f"operator {operator + 1}", lane)
    yield ""
    for person in range(batch.people):
        own = [placed for placed in plan.placed if placed.person == person]
        row = list(_row(batch, own, each, columns, signs))
        for column in range(int(own[0].begins) // each, int(own[-1].ends - 1) // each):
            if row[column] == signs.idle:
                row[column] = signs.waiting
        yield _line(f"person {person + 1}", "".join(row))
    first, *further, _ = batch.work.pieces
    yield ""
    yield f"{signs.first} {', '.join(part.key for part in first.parts)}"
    if further:
        keys = "; ".join(", ".join(part.key for part in piece.parts) for piece in further)
        yield f"{signs.further} {keys}"
    yield f"{signs.reading} read    {signs.waiting} a wait, or developing"


def _axis(ends: int, each: int, columns: int) -> Iterator[str]:
    step = next((tick for tick in TICKS if tick >= each * TICK_APART), TICKS[-1])
    marks, names = [" "] * columns, [" "] * (columns + TICK_APART)
    for at in range(0, int(ends) + 1, int(step)):
        column = at // each
        if column < columns:
            marks[column] = "|"
            text = write_span(Span(at))
            names[column : column + len(text)] = text
    yield _line("", "".join(names)[:columns])
    yield _line("", "".join(marks))


def _row(batch: Batch, placed: Sequence[Placed], each: int, columns: int, signs: Signs) -> str:
    last = len(batch.work.pieces) - 1
    share: list[dict[str, int]] = [{} for _ in range(columns)]
    for one in placed:
        sign = (
            signs.first if one.piece == 0 else signs.reading if one.piece == last else signs.further
        )
        for column in range(int(one.begins) // each, int(one.ends - 1) // each + 1):
            inside = min(one.ends, (column + 1) * each) - max(one.begins, column * each)
            share[column][sign] = share[column].get(sign, 0) + inside
    return "".join(max(here, key=here.__getitem__) if here else signs.idle for here in share)


def _line(label: str, cells: str) -> str:
    return f"{label:<{LABEL}}{cells}".rstrip()
