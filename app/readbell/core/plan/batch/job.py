"""What a batch plan is asked for: the work on each person, the crew, and what stands in the way.

Everybody is tested by the same assay. A batch is made once and holds what every
planner, bound and check of it needs; slack is already taken off its windows, each
window by itself.
"""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum
from math import gcd
from typing import TYPE_CHECKING

from readbell.core.instant import Span
from readbell.core.made_later import dataclass
from readbell.core.plan.cyclic import alone
from readbell.core.plan.gaps import ties_of
from readbell.core.plan.hands_on import READING

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from readbell.core.plan.gaps import Tie
    from readbell.core.plan.work import Lag, Work


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """An operator does no work from `begins` up to `ends`, after the start of the batch."""

    operator: int
    """Counted from 0."""
    begins: Span
    ends: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """People, operators, and the work between them; all times after the start of the batch."""

    work: Work
    """At usual times."""
    ties: tuple[Tie, ...]
    """The gaps between the pieces of one person, slack taken off; in the order of `first`."""
    arrivals: tuple[Span, ...]
    """When each person is there, never falling; a person is known by the place in it."""
    operators: int
    breaks: tuple[Break, ...] = ()

    @property
    def people(self) -> int:
        """How many are to be tested."""
        return len(self.arrivals)

    @property
    def takes(self) -> tuple[int, ...]:
        """How long each piece takes, in milliseconds."""
        return tuple(piece.hands.usual for piece in self.work.pieces)

    @property
    def touches(self) -> tuple[bool, ...]:
        """Which pieces touch the specimen."""
        return tuple(piece.touches for piece in self.work.pieces)

    @property
    def unit(self) -> int:
        """The largest number of milliseconds that divides every figure of the batch."""
        figures = [*self.takes, self.work.gloves, *self.arrivals]
        figures += [tie.least for tie in self.ties]
        figures += [tie.most for tie in self.ties if tie.most is not None]
        figures += [end for each in self.breaks for end in (each.begins, each.ends)]
        return gcd(*figures)

    def breaks_of(self, operator: int) -> tuple[tuple[int, int], ...]:
        """Return when `operator` is away, in order."""
        away = [(each.begins, each.ends) for each in self.breaks if each.operator == operator]
        return tuple(sorted(away))


class FaultKind(StrEnum):
    """Why no batch can be planned."""

    IMPOSSIBLE = "impossible"
    """Usual times alone break a limit of the assay: not even one person can be tested."""
    NO_SUCH_WINDOW = "no-such-window"
    NO_LIMIT = "no-limit"
    """Slack before a limit that the assay does not set."""
    TOO_MUCH_SLACK = "too-much-slack"
    NO_TIME_FOR_GLOVES = "no-time-for-gloves"
    """One operator cannot put fresh gloves on right before a piece, and be in time for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """What is wrong, and the figures that a sentence about it needs."""

    kind: FaultKind
    window: str = ""
    """The step that begins the wait, or `READING`."""
    room: Span = Span(0)
    """The most slack this window has, where it has too little."""
    known: tuple[str, ...] = ()
    """The windows that may be named."""


def batch_of(
    work: Work,
    *,
    arrivals: Sequence[Span],
    operators: int,
    breaks: Sequence[Break] = (),
    slack: Mapping[str, Span] | None = None,
) -> Batch | Fault:
    """Return the batch, or the first thing that makes it impossible.

    Args:
        work: the work on one person; usual times are taken.
        arrivals: when each person is there, at least one, never falling.
        operators: how many pairs of hands, from 1.
        breaks: when an operator is away.
        slack: how long before the end of a window its work is to be done, by the step that
            begins the wait, `READING` for the read window.
    """
    kept = dict(slack or {})
    for window, span in kept.items():
        fault = _fault_of(work, window, span)
        if fault is not None:
            return fault
    tight = replace(
        work, lags=tuple(_less(lag, kept.get(window_of(lag), Span(0))) for lag in work.lags)
    )
    if alone(tight) is None:
        return Fault(kind=FaultKind.IMPOSSIBLE)
    ties = ties_of(tight)
    if operators == 1 and len(arrivals) > 1:
        for tie in ties:
            between = work.pieces[tie.first : tie.second + 1]
            if (
                tie.second == tie.first + 1
                and tie.most is not None
                and tie.most < work.gloves
                and [piece.touches for piece in between] == [False, True]
            ):
                window = between[1].parts[0].key
                return Fault(kind=FaultKind.NO_TIME_FOR_GLOVES, window=window)
    return Batch(
        work=work,
        ties=ties,
        arrivals=tuple(arrivals),
        operators=operators,
        breaks=tuple(breaks),
    )


def window_of(lag: Lag) -> str:
    """Return how slack names the window `lag`."""
    return READING if lag.until == READING else lag.since


def _fault_of(work: Work, window: str, span: Span) -> Fault | None:
    found = [lag for lag in work.lags if window_of(lag) == window]
    if not found:
        known = tuple(window_of(lag) for lag in work.lags)
        return Fault(kind=FaultKind.NO_SUCH_WINDOW, window=window, known=known)
    gap = found[0].usual_gap()
    if gap.most is None:
        return Fault(kind=FaultKind.NO_LIMIT, window=window)
    room = Span(gap.most - gap.least)
    if span > max(0, room):
        return Fault(kind=FaultKind.TOO_MUCH_SLACK, window=window, room=Span(max(0, room)))
    return None


def _less(lag: Lag, slack: Span) -> Lag:
    return lag if lag.most is None else replace(lag, most=Span(lag.most - slack))
