"""What is left to do on one cartridge, as tasks with limits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import Instant, later
from readbell.core.made_later import dataclass
from readbell.core.plan.bench import FAR, LONG_AGO, Task, Tie
from readbell.core.plan.hands_on import NOTHING, total

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from readbell.core.plan.work import Lag, Piece, Work


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """When a step was done, as narrowly as it is known."""

    earliest: Instant
    latest: Instant


def tasks_of(
    work: Work,
    cartridge: str,
    person: str,
    done: Mapping[str, Known],
    *,
    lost: Iterable[str] = (),
) -> tuple[Task, ...]:
    """Return the pieces that are left of `cartridge`, in their order.

    Args:
        work: of its assay.
        done: the steps that are done, in their order; none for somebody new.
        lost: steps whose limit has passed already. Nothing can be lost there any
            more, so it binds nobody; they are still to be done, and first.
    """
    lags = (*work.lags, *work.inside)
    given_up = frozenset(lost)
    left = []
    for place, piece in enumerate(work.pieces):
        rest = [part for part in piece.parts if part.key not in done]
        if not rest:
            continue
        ready, latest, is_late = LONG_AGO, FAR, False
        ties = []
        for lag in lags:
            if lag.second != place or lag.until in done:
                continue
            found = done.get(lag.since)
            if found is not None:
                begins, limit = _limits(lag, piece, found, done)
                ready = max(ready, begins)
                if lag.until in given_up:
                    is_late = True
                else:
                    latest = min(latest, limit)
            elif lag.first != place:
                gap = lag.sure_gap()
                ties.append(Tie(after=(cartridge, lag.first), least=gap.least, most=gap.most))
        left.append(
            Task(
                key=(cartridge, place),
                person=person,
                parts=tuple(part.key for part in rest),
                hands=total(part.hands for part in rest),
                touches=any(part.touches for part in rest),
                gloves=work.gloves,
                ready=ready,
                latest=latest,
                ties=tuple(ties),
                is_late=is_late,
            )
        )
    return tuple(left)


def _limits(
    lag: Lag, piece: Piece, since: Known, done: Mapping[str, Known]
) -> tuple[Instant, Instant]:
    """Return between which instants what is left of `piece` may be begun, for `lag`."""
    lead = NOTHING
    if lag.until != piece.parts[0].key:
        through = [part.key for part in piece.parts].index(lag.until)
        lead = total(part.hands for part in piece.parts[:through] if part.key not in done)
    begins = Instant(later(since.latest, lag.least) - lead.least)
    if lag.most is None:
        return begins, FAR
    return begins, Instant(later(since.earliest, lag.most) - lead.most - lag.hands.most)
