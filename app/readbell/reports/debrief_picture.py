"""An attempt as a picture: a row for each cartridge as it went, and how the best plan has it below."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import MINUTE, SECOND, Span, between, later
from readbell.core.made_later import dataclass
from readbell.core.span_text import write_span
from readbell.reports.drawing import FAINT, INK, Drawing, Stroke, Words

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from readbell.core.instant import Instant
    from readbell.core.rehearsal.score import Score
    from readbell.core.rehearsal.score_marks import Lane
    from readbell.core.rehearsal.score_pace import Should

NARROW = 842.0
"""The long side of A4, in points; a longer attempt gets a wider page."""
POINTS_A_SECOND = 0.2
LEFT, RIGHT, TOP = 92.0, 30.0, 96.0
ROW, LINE = 24.0, 12.0
SMALL = 8.0
TICKS = tuple(Span(minutes * MINUTE) for minutes in (1, 2, 5, 10, 15, 30, 60))
TICK_APART = 46.0
IN_HAND, DEVELOPS, WINDOW, PLAN = 6.0, 1.0, 10.0, 0.8
"""How thick: told apart on any printer, and by any eye."""
DASHES = (3.0, 2.0)
PALE = "#cfcfcf"
BELOW = 10.0
"""From the row of a cartridge down to what the plan has."""
READ, EARLY, LOST, GIVEN_UP = "R", "e", "X", "v"


@dataclass(frozen=True, slots=True)
class _Axis:
    starts: Instant
    scale: float

    def x(self, at: Instant) -> float:
        return LEFT + self.scale * max(0, between(self.starts, at))


def picture_of(score: Score, words: Sequence[str], legend: Sequence[str]) -> Drawing:
    """Return the picture.

    Args:
        score: the attempt.
        words: its title, a line below it, and what stands under the picture.
        legend: what is drawn, in its order: in hand, develops, window, plan.
    """
    closes = (between(score.starts, each.closes) for each in score.lanes if each.closes is not None)
    ends = max(1, int(score.took), *(each.ends for each in score.pace.should), *closes)
    wide = max(NARROW, LEFT + RIGHT + ends / SECOND * POINTS_A_SECOND)
    axis = _Axis(score.starts, (wide - LEFT - RIGHT) / ends)
    bottom = TOP + max(1, len(score.lanes)) * ROW
    marks: list[Stroke | Words] = [
        Words(x=LEFT, y=30, text=words[0], size=15, bold=True),
        *(Words(x=LEFT, y=48, text=line, size=10) for line in words[1:2]),
        *_scale(ends, axis, bottom),
    ]
    planned = _by_person(score)
    for place, lane in enumerate(score.lanes):
        y = TOP + place * ROW + 12
        marks.append(Words(x=LEFT - 6, y=y + 3, text=lane.cartridge, size=9, right=True))
        marks += _lane(lane, axis, y)
        # What the plan has is drawn once, below the first cartridge of each person.
        marks += _plan(planned.pop(lane.person or "", ()), score.starts, axis, y + BELOW)
    marks += _legend(legend, bottom + 20)
    below = words[2:]
    marks += [
        Words(x=LEFT, y=bottom + 40 + place * LINE, text=line, size=SMALL)
        for place, line in enumerate(below)
    ]
    high = bottom + 54 + len(below) * LINE
    return Drawing(wide=wide, high=high, title=words[0], marks=tuple(marks))


def _by_person(score: Score) -> dict[str, tuple[Should, ...]]:
    found: dict[str, tuple[Should, ...]] = {}
    for each in score.pace.should:
        found[each.person] = (*found.get(each.person, ()), each)
    return found


def _scale(ends: int, axis: _Axis, bottom: float) -> Iterator[Stroke | Words]:
    step = next((tick for tick in TICKS if tick * axis.scale >= TICK_APART), TICKS[-1])
    for at in range(0, ends + 1, int(step)):
        x = axis.x(later(axis.starts, Span(at)))
        yield Stroke(points=((x, TOP - 6), (x, bottom)), wide=0.4, colour=FAINT)
        yield Words(x=x + 2, y=TOP - 10, text=write_span(Span(at)), size=SMALL)


def _lane(lane: Lane, axis: _Axis, y: float) -> Iterator[Stroke | Words]:
    begins, last = axis.x(lane.begins), axis.x(lane.marks[-1][1])
    if lane.opens is not None and lane.closes is not None:
        opens, closes = axis.x(lane.opens), axis.x(lane.closes)
        yield Stroke(points=((opens, y), (closes, y)), wide=WINDOW, colour=PALE)
        yield Stroke(points=((last, y), (closes, y)), wide=DEVELOPS, colour=INK)
    # A step that took no time is seen all the same.
    yield Stroke(points=((begins, y), (max(last, begins + 2), y)), wide=IN_HAND, colour=INK)
    for at, sign in (
        *((look, EARLY) for look in lane.looks),
        (lane.read, READ),
        (lane.lapsed, LOST),
        (lane.voided, GIVEN_UP),
    ):
        if at is not None:
            x = axis.x(at)
            yield Stroke(points=((x, y - 7), (x, y + 7)), wide=1.4, colour=INK)
            yield Words(x=x + 2, y=y - 3, text=sign, size=SMALL, bold=True)


def _plan(
    pieces: Sequence[Should], starts: Instant, axis: _Axis, y: float
) -> Iterator[Stroke | Words]:
    if not pieces:
        return
    from_, until = (axis.x(later(starts, at)) for at in (pieces[0].begins, pieces[-1].ends))
    yield Stroke(points=((from_, y), (until, y)), wide=PLAN, colour=FAINT, dashes=DASHES)
    for each in pieces:
        ends = (axis.x(later(starts, each.begins)), y), (axis.x(later(starts, each.ends)), y)
        yield Stroke(points=ends, wide=2.5, colour=FAINT)


def _legend(legend: Sequence[str], y: float) -> Iterator[Stroke | Words]:
    looks = (
        (IN_HAND, INK, ()),
        (DEVELOPS, INK, ()),
        (WINDOW, PALE, ()),
        (2.5, FAINT, ()),
    )
    x = LEFT
    for (thick, colour, dashes), text in zip(looks, legend, strict=True):
        line = ((x, y - 3), (x + 16, y - 3))
        yield Stroke(points=line, wide=thick, colour=colour, dashes=dashes)
        yield Words(x=x + 20, y=y, text=text, size=SMALL)
        x += 40 + 4.6 * len(text)
