"""What lies between the pieces of one cartridge, for hands that keep usual times exactly."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import Span
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.plan.work import Lag, Work


@dataclass(frozen=True, slots=True, kw_only=True)
class Tie:
    """From the end of the piece `first` to the beginning of the piece `second`."""

    first: int
    second: int
    least: Span
    most: Span | None
    """None: no limit."""


def ties_of(work: Work) -> tuple[Tie, ...]:
    """Return the gap between each two pieces that have one; pieces keep their order."""
    waits = {(lag.first, lag.second) for lag in work.lags}
    order = {(second - 1, second) for second in range(1, len(work.pieces))}
    return tuple(_tie(work, first, second) for first, second in sorted(waits | order))


def fits_inside(work: Work) -> bool:
    """Say whether usual times keep every limit that begins and ends within one piece."""
    return all(lag.most is None or _within(work, lag) <= lag.most for lag in work.inside)


def _tie(work: Work, first: int, second: int) -> Tie:
    gaps = [lag.usual_gap() for lag in work.lags if (lag.first, lag.second) == (first, second)]
    ends = [gap.most for gap in gaps if gap.most is not None]
    return Tie(
        first=first,
        second=second,
        least=max((gap.least for gap in gaps), default=Span(0)),
        most=min(ends, default=None),
    )


def _within(work: Work, lag: Lag) -> int:
    """Return the time from the end of `since` to the end of `until`, both in one piece."""
    piece = work.pieces[lag.first]
    return piece.before(lag.until).usual + lag.hands.usual + lag.tail.usual - piece.hands.usual
