"""Whether an assay can be promised to be kept at all, with hands that take so long.

The guarantee is about *one more* person beside others. It is worth nothing where
one person alone, with nobody else on the bench, could not be kept whatever the
times turn out to be; so that is asked first, and what stands in the way is named.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.instant import Span
from readbell.core.made_later import dataclass
from readbell.core.plan.hands_on import total

if TYPE_CHECKING:
    from readbell.core.plan.work import Lag, Work


class Condition(StrEnum):
    """What the guarantee asks of an assay and of the times of a site."""

    FITS_THE_WAIT = "fits-the-wait"
    """Idle hands can begin and end the step within its wait, or the reading in its window."""
    FITS_IN_ONE_PIECE = "fits-in-one-piece"
    """A limit within steps done in a row is longer than those steps ever take."""
    HAS_HANDS = "has-hands"
    """Somebody is at work."""
    READ_ONCE = "read-once"
    """No strip has to be read by a second person: whether, and by whom, nobody knows beforehand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Broken:
    """A condition that does not hold, and where."""

    condition: Condition
    assay: str
    since: str = ""
    """The step that begins the wait."""
    until: str = ""
    """The step that ends it, or `READING`."""
    needs: Span | None = None
    """How long it must be at least, for these hands."""
    has: Span | None = None
    """How long it is at most."""


def broken(work: Work, hands: int) -> tuple[Broken, ...]:
    """Return what keeps the guarantee from being given for `work`; nothing if nothing does."""
    found = [] if hands > 0 else [Broken(condition=Condition.HAS_HANDS, assay=work.assay)]
    found += [
        Broken(
            condition=(
                Condition.FITS_IN_ONE_PIECE if lag.first == lag.second else Condition.FITS_THE_WAIT
            ),
            assay=work.assay,
            since=lag.since,
            until=lag.until,
            needs=needs,
            has=lag.most,
        )
        for lag in (*work.inside, *work.lags)
        if lag.most is not None and (needs := _needs(work, lag)) > lag.most
    ]
    return tuple(found)


def _needs(work: Work, lag: Lag) -> Span:
    """Return how long it takes idle hands at most from the end of the one part to that of the other."""
    if lag.first == lag.second:
        parts = work.pieces[lag.first].parts
        through = [part.key for part in parts]
        between = parts[through.index(lag.since) + 1 : through.index(lag.until) + 1]
        return total(part.hands for part in between).most
    passed = lag.tail.most + lag.lead.most + lag.hands.most
    for place in range(lag.first + 1, lag.second + 1):
        passed += _pause(work, place)
        passed += work.pieces[place].hands.most if place < lag.second else 0
    return Span(passed)


def _pause(work: Work, place: int) -> int:
    """Return how long idle hands wait at most before the piece at `place`."""
    ending = (lag for lag in work.lags if lag.second == place)
    return max((lag.sure_gap().least - _done_since(work, lag) for lag in ending), default=0)


def _done_since(work: Work, lag: Lag) -> Span:
    """Return how long the pieces between the two of `lag` take at least."""
    return total(piece.hands for piece in work.pieces[lag.first + 1 : lag.second]).least
