"""Watching for trouble: lots and operators whose shares are out of the ordinary.

Two ways, for two questions. A chart asks of each lot, or each operator, whether its count is
one that chance alone seldom makes, by the binomial distribution itself, as lots are often
small. A running sum asks of each lot, strip by strip in the order of labelling, whether
invalid ones have become more frequent; it tells soon. Both only propose: nothing is held and nothing
is asked for by itself.
"""

from __future__ import annotations

from enum import StrEnum
from itertools import accumulate
from typing import TYPE_CHECKING

from readbell.core.figures.case import Came
from readbell.core.figures.course import strip_by_strip
from readbell.core.made_later import dataclass
from readbell.core.statistics.binomial import TAIL_OF_THREE_SIGMA, Usual, usual
from readbell.core.statistics.cusum import Watch, run_length, watch_for

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.core.figures.counted import Counted
    from readbell.core.figures.tally import Tally

USUAL_INVALID, WORSE_INVALID = 0.02, 0.06
"""What share of strips is invalid while all is well, and what is to be found soon; our own
choice, where a site does not say better."""
BETWEEN_FALSE_ALARMS = 20_000
"""Strips of one lot that pass on average before a good one is flagged; our own choice."""


class Sign(StrEnum):
    """What is counted of each."""

    INVALID = "invalid"
    """Among those that were read in their window."""
    POSITIVE = "positive"
    """Among the valid ones. It follows the people who come, so it says less about a lot."""


_AMONG: dict[Sign, tuple[Came, ...]] = {
    Sign.INVALID: (Came.POSITIVE, Came.NEGATIVE, Came.INVALID),
    Sign.POSITIVE: (Came.POSITIVE, Came.NEGATIVE),
}
_HIT: dict[Sign, Came] = {Sign.INVALID: Came.INVALID, Sign.POSITIVE: Came.POSITIVE}


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One lot or operator on a chart."""

    key: str
    tests: int
    hits: int
    usual: Usual

    @property
    def is_flagged(self) -> bool:
        """Whether chance alone seldom makes such a count."""
        return not self.usual.holds(self.hits)

    @property
    def is_high(self) -> bool:
        """Whether chance alone seldom makes so many."""
        return self.hits > self.usual.most


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """A p-chart: each point with the limits of its own size."""

    sign: Sign
    middle: float
    """The share over all of them together."""
    points: tuple[Point, ...]
    """In the order in which they came first."""
    false_flags: float
    """So many points are flagged on average, at most, where chance alone is at work."""

    @property
    def flagged(self) -> tuple[Point, ...]:
        """The points out of the ordinary."""
        return tuple(each for each in self.points if each.is_flagged)


def chart(groups: Mapping[str, Tally], sign: Sign) -> Chart:
    """Return the chart of `groups`, by lot or by operator; those with nothing to count are left out.

    Source: the p-chart of W. A. Shewhart (1931, from memory), as the NIST/SEMATECH e-Handbook 6.3.3.2
    has it, with the tails of the binomial distribution in the place of the normal curve, as many
    groups are small. Assumption: but for what the chart is to find, each strip comes out as it does
    whatever the others do, and all with one chance; that is taken from these very groups, so a bad
    one among few moves it. Domain: any counts; where nothing was counted there are no points.
    """
    counted = {
        key: (sum(tally.came[each] for each in _AMONG[sign]), tally.came[_HIT[sign]])
        for key, tally in groups.items()
    }
    counted = {key: found for key, found in counted.items() if found[0]}
    tests = sum(found[0] for found in counted.values())
    middle = sum(found[1] for found in counted.values()) / tests if tests else 0.0
    points = tuple(
        Point(key=key, tests=of, hits=hits, usual=usual(of, middle))
        for key, (of, hits) in counted.items()
    )
    return Chart(
        sign=sign,
        middle=middle,
        points=points,
        false_flags=2 * TAIL_OF_THREE_SIGMA * len(points),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag:
    """A lot whose invalid strips have become more frequent."""

    lot: str
    assay: str
    day: str
    """Of the site, on which the sum came to its limit."""
    after: int
    """So many strips of the lot had been read by then."""
    invalid: int
    """So many of them were invalid."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise:
    """What a running sum is worth, worked out exactly."""

    usual: float
    worse: float
    between_false_alarms: float
    """Strips that pass on average before a good lot is flagged."""
    until_found: float
    """Strips that pass on average until a lot with the worse share is flagged."""


def watch_over_lots(
    usual_share: float = USUAL_INVALID,
    worse_share: float = WORSE_INVALID,
    between: int = BETWEEN_FALSE_ALARMS,
) -> Watch | None:
    """Return what lots are watched by, or None where what is asked for cannot be watched for."""
    return watch_for(usual_share, worse_share, between)


def promise_of(watch: Watch) -> Promise:
    """Return what a flag of `watch` is worth."""
    return Promise(
        usual=watch.usual,
        worse=watch.worse,
        between_false_alarms=run_length(watch.usual, watch.up, watch.limit),
        until_found=run_length(watch.worse, watch.up, watch.limit),
    )


def flags(watch: Watch, counted: Counted) -> tuple[Flag, ...]:
    """Return the first flag of each lot that has one, in the order of their days."""
    found = (_flag(watch, counted, *key) for key in counted.courses)
    return tuple(sorted((each for each in found if each is not None), key=_when))


def _when(flag: Flag) -> tuple[str, str, str]:
    return flag.day, flag.assay, flag.lot


def _flag(watch: Watch, counted: Counted, assay: str, lot: str) -> Flag | None:
    found = _reached(watch, counted.courses[assay, lot])
    if found is None:
        return None
    read, invalid = found
    day = _day_of(counted, assay, lot, read)
    return Flag(lot=lot, assay=assay, day=day, after=read, invalid=invalid)


def flagged_lots(watch: Watch, counted: Counted) -> tuple[str, ...]:
    """Return the numbers of the lots that are flagged, as `flags` does, and nothing more of them."""
    found = {
        lot for (_, lot), course in counted.courses.items() if _reached(watch, course) is not None
    }
    return tuple(sorted(found))


def _reached(watch: Watch, came: Mapping[int, Came]) -> tuple[int, int] | None:
    """Say after how many strips a lot is flagged, and how many of them were invalid, or None."""
    for read, (steps, invalid) in enumerate(strip_by_strip(watch, came), 1):
        if watch.flags(steps):
            return read, invalid
    return None


def _day_of(counted: Counted, assay: str, lot: str, read: int) -> str:
    """Return the day on which so many strips of a lot had been read."""
    by_day: dict[str, int] = {}
    for cell, tally in counted.cells.items():
        if (cell.assay, cell.lot) == (assay, lot):
            so_many = sum(tally.came[each] for each in _AMONG[Sign.INVALID])
            by_day[cell.day] = by_day.get(cell.day, 0) + so_many
    days = sorted(by_day)
    so_far = accumulate(by_day[each] for each in days)
    return next(day for day, seen in zip(days, so_far, strict=True) if seen >= read)
