"""An attempt on a line of time, in signs that need no colour: one row a cartridge, one a pair of hands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import MINUTE, Instant, Span, between, later
from readbell.core.made_later import dataclass
from readbell.core.rehearsal.scenario import InterruptionKind
from readbell.core.span_text import write_span

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.rehearsal.scenario import Interruption
    from readbell.core.rehearsal.score import Score
    from readbell.core.rehearsal.score_marks import Lane

SHORTEST, LONGEST = 7, 12
"""Columns of a row's name, before the axis."""
NARROWEST = 20
TICKS = tuple(Span(minutes * MINUTE) for minutes in (1, 2, 5, 10, 15, 30, 60, 120, 240, 480))
TICK_APART = 8

HANDS_ON, DEVELOPS, WINDOW = "-", ".", "="
LABELLED, DROPS, LOOKED, READ, LOST, GIVEN_UP = "L", "D", "e", "R", "X", "v"
ACT, AWAY = "#", "~"
BREAKS_IN = {
    InterruptionKind.QUESTION: "?",
    InterruptionKind.CAR_LEAVES: "c",
    InterruptionKind.CALLED_AWAY: "a",
    InterruptionKind.LID_CLOSED: "z",
}
SIGNS = (
    "L labelled",
    "- in hand",
    "D drops",
    ". develops",
    "= window open",
    "e positive seen early",
    "R read",
    "X window lost",
    "v voided",
    "# an act of this operator",
    "~ called away",
)
OF_INTERRUPTIONS = ("? question", "c car leaves", "a called away", "z lid closed")


@dataclass(frozen=True, slots=True)
class _Axis:
    starts: Instant
    each: int
    columns: int

    def column(self, at: Instant) -> int:
        """Return where `at` stands; what lies outside stands at the edge."""
        return min(max(int(between(self.starts, at)) // self.each, 0), self.columns - 1)


def time_line(score: Score, wide: int) -> Iterator[str]:
    """Yield the picture line by line, each at most `wide` columns.

    Args:
        score: the attempt.
        wide: how many columns there are.
    """
    interruptions, acts = score.interruptions, score.acts
    names = [*(lane.cartridge for lane in score.lanes), *score.operators]
    label = min(LONGEST, max([SHORTEST, *(len(each) + 1 for each in names)]))
    columns = max(NARROWEST, wide - label)
    took = max(1, int(between(score.starts, score.ends)))
    axis = _Axis(score.starts, -(-took // columns) or 1, columns)
    yield from (_row(label, "", signs) for signs in _scale(axis))
    for lane in score.lanes:
        yield _row(label, lane.cartridge, _lane(lane, axis))
    if score.operators:
        yield ""
    for operator in score.operators:
        yield _row(label, operator, _operator(operator, interruptions, acts, axis))
    if interruptions:
        signs = [" "] * columns
        for each in interruptions:
            at = later(score.starts, each.at)
            signs[axis.column(at)] = BREAKS_IN[each.kind]
        yield _row(label, "calls", "".join(signs))
    yield ""
    yield from _legend((*SIGNS, *(OF_INTERRUPTIONS if interruptions else ())), wide)


def _legend(signs: Sequence[str], wide: int) -> Iterator[str]:
    """Yield what the signs mean, none of them parted."""
    line = ""
    for each in signs:
        if line and len(line) + 2 + len(each) > wide:
            yield line
            line = ""
        line = f"{line}  {each}" if line else each
    yield line


def _scale(axis: _Axis) -> Iterator[str]:
    tick = next((each for each in TICKS if each // axis.each >= TICK_APART), TICKS[-1])
    times, marks = [" "] * (axis.columns + TICK_APART), [" "] * axis.columns
    for number in range(axis.columns * axis.each // tick + 1):
        column = number * tick // axis.each
        if column < axis.columns:
            marks[column] = "|"
            said = write_span(Span(number * tick))
            times[column : column + len(said)] = said
    yield "".join(times[: axis.columns])
    yield "".join(marks)


def _lane(lane: Lane, axis: _Axis) -> str:
    signs = [" "] * axis.columns

    def stretch(begins: Instant, ends: Instant, sign: str) -> None:
        for column in range(axis.column(begins), axis.column(ends) + 1):
            signs[column] = sign

    last = lane.marks[-1][1]
    ends = next((each for each in (lane.read, lane.voided, lane.lapsed) if each is not None), None)
    stretch(lane.begins, last, HANDS_ON)
    if lane.opens is not None:
        stop = lane.opens if ends is None else ends
        stretch(last, stop, DEVELOPS)
        if stop > lane.opens:
            stretch(lane.opens, stop, WINDOW)
        if lane.read is not None and lane.closes is not None:
            stretch(lane.read, lane.closes, WINDOW)
        signs[axis.column(last)] = DROPS
    elif ends is not None:
        stretch(last, ends, HANDS_ON)
    signs[axis.column(lane.begins)] = LABELLED
    for each in lane.looks:
        signs[axis.column(each)] = LOOKED
    for at, sign in ((lane.read, READ), (lane.lapsed, LOST), (lane.voided, GIVEN_UP)):
        if at is not None:
            signs[axis.column(at)] = sign
    return "".join(signs)


def _operator(
    operator: str,
    interruptions: Sequence[Interruption],
    acts: Sequence[tuple[str, Instant, str, str]],
    axis: _Axis,
) -> str:
    signs = [" "] * axis.columns
    for each in interruptions:
        if each.operator == operator and each.until is not None:
            begins, ends = (axis.column(later(axis.starts, at)) for at in (each.at, each.until))
            signs[begins : ends + 1] = AWAY * (ends + 1 - begins)
    for by, at, _, _ in acts:
        if by == operator:
            signs[axis.column(at)] = ACT
    return "".join(signs)


def _row(label: int, name: str, signs: str) -> str:
    return f"{name[: label - 1]:{label}}{signs}".rstrip()
