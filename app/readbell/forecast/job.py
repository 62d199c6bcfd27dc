"""The work on one cartridge as a simulation needs it: whole numbers and tables."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from readbell.core.instant import Span
from readbell.core.made_later import dataclass
from readbell.core.plan.capacity import Rule
from readbell.core.plan.gaps import ties_of
from readbell.core.plan.hands_on import HandsOn
from readbell.forecast.draws import exponential, lognormal, quantile

if TYPE_CHECKING:
    from readbell.core.plan.work import Work

FAR = (1 << 30) - 1
"""Milliseconds, twelve days: later than anything; twice as much still fits in 32 bits."""


RARE = 0.001
"""How often a piece takes longer than the careful hands reckon with; and as often shorter."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """What ties a piece to an earlier one of the same cartridge."""

    first: int
    second: int
    least: int
    """From the end of `first` to the beginning of `second`."""
    planned: int
    """At most so long, as the hands plan it; `FAR`: no limit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A limit that can be missed: from a point of one piece to a point of a later one."""

    first: int
    second: int
    most: int
    tail: tuple[int, int]
    """What share of `first` lies after the point, as a fraction."""
    reach: tuple[int, int]
    """What share of `second` lies before the point."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Blocks:
    """The lengths the careful rule goes by, in milliseconds, every piece at its longest."""

    single: int
    """From taking on one person to the end of their drops."""
    second: int
    """From taking on another, the first piece of the first being done, to the end of both drops;
    `FAR` where two together could not keep their limits."""
    reading: int
    crowding: int
    """How much one strip's reading may push the next one's."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """All that happens to one person, and how they come."""

    between: tuple[int, ...]
    """Table of the time between two people."""
    takes: tuple[tuple[int, ...], ...]
    """Table of the time of each piece, in their order."""
    touches: tuple[bool, ...]
    gloves: int
    holds: tuple[Hold, ...] = ()
    windows: tuple[Window, ...] = ()
    blocks: Blocks | None = None
    """None: the careful rule cannot be followed."""


def job_of(work: Work, rule: Rule, *, apart: float, spread: float) -> Job:
    """Return the job of one cartridge.

    Args:
        work: of its assay.
        rule: by which it is worked; it sets what limits the hands plan with.
        apart: milliseconds between two people, on average; they come independently.
        spread: of the logarithm of each piece's time about its usual time; 0: no spread.
    """
    sure = rule is Rule.CAREFUL
    work = _bounded(work, spread)
    limits: dict[tuple[int, int], int] = {}
    for lag in work.lags:
        gap = lag.sure_gap() if sure else lag.usual_gap()
        if gap.most is not None:
            key = (lag.first, lag.second)
            limits[key] = min(limits.get(key, FAR), max(0, gap.most))
    return Job(
        between=exponential(apart),
        takes=tuple(lognormal(piece.hands.usual, spread) for piece in work.pieces),
        touches=tuple(piece.touches for piece in work.pieces),
        gloves=work.gloves,
        holds=tuple(
            Hold(
                first=tie.first,
                second=tie.second,
                least=tie.least,
                planned=limits.get((tie.first, tie.second), FAR),
            )
            for tie in ties_of(work)
        ),
        windows=tuple(
            Window(
                first=lag.first,
                second=lag.second,
                most=lag.most,
                tail=_lowest(lag.tail.usual, work.pieces[lag.first].hands.usual),
                reach=_lowest(
                    lag.lead.usual + lag.hands.usual, work.pieces[lag.second].hands.usual
                ),
            )
            for lag in work.lags
            if lag.most is not None
        ),
        blocks=_blocks(work) if sure else None,
    )


def _lowest(part: int, whole: int) -> tuple[int, int]:
    """Return the fraction in its lowest terms; nothing of nothing is all of it."""
    share = Fraction(part, whole) if whole else Fraction(1)
    return share.numerator, share.denominator


def is_too_long(work: Work, people: int) -> bool:
    """Say whether a run of `people` could last longer than can be counted.

    Even if one operator served them one after the other, each piece at three times its usual.
    """
    waits = [tie.least for tie in ties_of(work) if tie.second - tie.first == 1]
    each = 3 * work.hands.usual + sum(waits[:-1]) + len(work.pieces) * work.gloves
    return people * each + waits[-1] > FAR


def _bounded(work: Work, spread: float) -> Work:
    """Return `work` with the bounds that its times keep to but for `RARE` cases on each side."""
    low, high = quantile(spread, RARE), quantile(spread, 1 - RARE)

    def bounded(hands: HandsOn) -> HandsOn:
        return HandsOn(
            least=Span(int(hands.usual * low)),
            usual=hands.usual,
            most=Span(-int(-hands.usual * high // 1)),
        )

    return replace(
        work,
        pieces=tuple(
            replace(
                piece,
                parts=tuple(replace(part, hands=bounded(part.hands)) for part in piece.parts),
            )
            for piece in work.pieces
        ),
        lags=tuple(
            replace(lag, tail=bounded(lag.tail), lead=bounded(lag.lead), hands=bounded(lag.hands))
            for lag in work.lags
        ),
    )


def _blocks(work: Work) -> Blocks:
    before, reading = work.pieces[:-1], work.reading.hands
    waits = [tie.least for tie in ties_of(work) if tie.second - tie.first == 1][:-1]
    single: int = (work.gloves if before[0].touches else 0) + sum(waits)
    single += sum(piece.hands.most for piece in before)
    second = _second(work)
    # How long at least from one strip's drops to the next one's, and so between their limits.
    between: int = before[-1].hands.least
    if second >= FAR:
        between += sum(piece.hands.least for piece in before[:-1]) + sum(waits)
    elif before[-1].touches:
        between += work.gloves
    return Blocks(
        single=single,
        second=second,
        reading=reading.most,
        crowding=max(0, reading.most - between),
    )


def _second(work: Work) -> int:
    """Return the length of the rest of a pair: swab, then the drops of both."""
    if len(work.pieces) != 3:
        return FAR
    taking, drops, _ = work.pieces
    fresh = work.gloves if taking.touches and drops.touches else 0
    gap = next(tie for tie in ties_of(work) if (tie.first, tie.second) == (0, 1))
    longest = min(
        (
            lag.sure_gap().most or 0
            for lag in work.lags
            if (lag.first, lag.second) == (0, 1) and lag.most is not None
        ),
        default=FAR,
    )
    taken = fresh + taking.hands.most
    first = max(taken + fresh, gap.least)
    second = max(first + drops.hands.most + fresh, taken + gap.least)
    # From the end of the second's first piece to their drops: longest where that piece is short.
    idle = max(fresh, gap.least - fresh - taking.hands.least)
    if first > longest or max(gap.least, idle + drops.hands.most + fresh) > longest:
        return FAR
    return second + drops.hands.most
