"""Whether a timetable keeps every rule: written for itself, it knows the rules and no planner.

Whoever makes a timetable is never asked whether it is right. The limits are taken
from the assay's own steps, as a bay judges them when a step is confirmed at its end.
"""

from __future__ import annotations

from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING

from readbell.core.instant import Span
from readbell.core.made_later import dataclass
from readbell.core.plan.batch.job import window_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from readbell.core.plan.batch.job import Batch
    from readbell.core.plan.batch.plan import Placed
    from readbell.core.plan.work import Lag


class Wrong(StrEnum):
    """What is wrong with a timetable."""

    NOT_WHOLE = "not-whole"
    """A piece is missing, stands there twice, or takes another time than it does."""
    TOO_SOON = "too-soon"
    """Before the person is there, or before a wait is over."""
    TOO_LATE = "too-late"
    """After the limit of a window, slack taken off."""
    TWO_AT_ONCE = "two-at-once"
    NO_TIME_FOR_GLOVES = "no-time-for-gloves"
    ON_A_BREAK = "on-a-break"
    NOBODY = "nobody"
    """By an operator who is not there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One thing that is wrong, and where."""

    wrong: Wrong
    person: int
    piece: int


def faults_of(
    batch: Batch, placed: Sequence[Placed], slack: Mapping[str, Span] | None = None
) -> Iterator[Found]:
    """Yield what is wrong with a timetable of `batch`; nothing if it keeps every rule.

    Args:
        batch: what was asked for.
        placed: the timetable, in any order.
        slack: how long before the end of each window its work is to be done.
    """
    wanted = [(person, piece) for person in range(batch.people) for piece in range(_pieces(batch))]
    if sorted((each.person, each.piece) for each in placed) != wanted:
        yield Found(wrong=Wrong.NOT_WHOLE, person=-1, piece=-1)
        return
    at = {(each.person, each.piece): each for each in placed}
    for each in placed:
        if each.ends - each.begins != batch.work.pieces[each.piece].hands.usual:
            yield _found(Wrong.NOT_WHOLE, each)
        if each.begins < batch.arrivals[each.person]:
            yield _found(Wrong.TOO_SOON, each)
        if not 0 <= each.operator < batch.operators:
            yield _found(Wrong.NOBODY, each)
    for person in range(batch.people):
        for piece in range(1, _pieces(batch)):
            if at[person, piece].begins < at[person, piece - 1].ends:
                yield _found(Wrong.TOO_SOON, at[person, piece])
        for lag in batch.work.lags:
            yield from _waits(batch, at, person, lag, (slack or {}).get(window_of(lag), Span(0)))
    for operator in range(batch.operators):
        yield from _hands(batch, operator, placed)


def _pieces(batch: Batch) -> int:
    return len(batch.work.pieces)


def _waits(
    batch: Batch,
    at: Mapping[tuple[int, int], Placed],
    person: int,
    lag: Lag,
    slack: Span,
) -> Iterator[Found]:
    since_piece, until_piece = batch.work.pieces[lag.first], batch.work.pieces[lag.second]
    since, until = at[person, lag.first], at[person, lag.second]
    ended = since.ends - since_piece.after(lag.since).usual
    begins = until.begins + until_piece.before(lag.until).usual
    ends = until.ends - until_piece.after(lag.until).usual
    if begins - ended < lag.least:
        yield _found(Wrong.TOO_SOON, until)
    if lag.most is not None and ends - ended > lag.most - slack:
        yield _found(Wrong.TOO_LATE, until)


def _hands(batch: Batch, operator: int, placed: Sequence[Placed]) -> Iterator[Found]:
    own = sorted(each for each in placed if each.operator == operator)
    for before, after in pairwise(own):
        if after.begins < before.ends:
            yield _found(Wrong.TWO_AT_ONCE, after)
    for place, each in enumerate(own):
        from_ = each.begins
        touched = [one for one in own[:place] if batch.work.pieces[one.piece].touches]
        if batch.work.pieces[each.piece].touches and touched and touched[-1].person != each.person:
            # The change comes right before the piece, with hands that do nothing else.
            from_ = Span(each.begins - batch.work.gloves)
            if from_ < own[place - 1].ends:
                yield _found(Wrong.NO_TIME_FOR_GLOVES, each)
        if any(
            from_ < away.ends and away.begins < each.ends
            for away in batch.breaks
            if away.operator == operator
        ):
            yield _found(Wrong.ON_A_BREAK, each)


def _found(wrong: Wrong, each: Placed) -> Found:
    return Found(wrong=wrong, person=each.person, piece=each.piece)
