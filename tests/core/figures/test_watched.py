"""What watching comes to: charts that reach back, and what is proposed of lots in use."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from core.figures.cases import READ
from readbell.core.figures.case import Came
from readbell.core.figures.counted import Counted
from readbell.core.figures.table import Chosen
from readbell.core.figures.view import By
from readbell.core.figures.watched import REACHES_BACK, Watched, watched
from readbell.core.figures.watching import Sign, watch_over_lots

MONDAY = date(2026, 3, 2)


def day(number: int) -> str:
    """The day so many days after a Monday."""
    return (MONDAY + timedelta(days=number)).isoformat()


class Made:
    """Days of strips, in the order of labelling."""

    def __init__(self) -> None:
        self.counted = Counted()
        self._ordinal = 0

    def strips(self, number: int, lot: str, negative: int, invalid: int, **other: Any) -> Made:
        """Add strips of `lot` on a day."""
        for came in [Came.NEGATIVE] * negative + [Came.INVALID] * invalid:
            self._ordinal += 1
            case = replace(READ, ordinal=self._ordinal, lot=lot, came=came, **other)
            self.counted.count(case, day(number), 9)
        return self


def seen(made: Made, chosen: Chosen) -> Watched:
    """What watching comes to by the thresholds as they come."""
    watch = watch_over_lots()
    assert watch is not None
    return watched(made.counted, chosen, watch)


def good_lots() -> Made:
    """Six lots, one a week, a hundred strips each, two of them invalid."""
    made = Made()
    for week in range(6):
        made.strips(7 * week, f"L-{week}", 98, 2)
    return made


def test_nothing_is_proposed_while_all_is_well() -> None:
    """Two of a hundred are usual."""
    found = seen(good_lots(), Chosen())

    assert found.proposals == ()
    assert (found.since, found.until) == (day(0), day(35))


def test_a_bad_lot_in_use_is_proposed_with_what_speaks_against_it() -> None:
    """The running sum and the chart, each by itself, and the last day of use."""
    made = good_lots().strips(40, "L-BAD", 40, 10).strips(42, "L-BAD", 50, 0)
    (found,) = seen(made, Chosen(since=day(35), until=day(48))).proposals

    assert (found.lot, found.assay, found.last) == ("L-BAD", "nasal", day(42))
    assert found.flag is not None
    assert found.flag.day == day(40)
    assert found.point is not None
    assert (found.point.hits, found.point.tests) == (10, 100)
    assert found.point.is_high
    assert found.middle == (6 * 2 + 10) / 700


def test_a_lot_that_was_not_used_on_the_days_is_not_proposed() -> None:
    """It is used up, or stands on a shelf; it stays on the chart."""
    made = good_lots().strips(20, "L-BAD", 40, 10)
    found = seen(made, Chosen(since=day(35), until=day(41)))

    assert found.proposals == ()
    chart = next(each.chart for each in found.charts if each.by is By.LOT)
    assert [each.key for each in chart.flagged] == ["L-BAD"]


def test_what_came_after_the_last_day_speaks_of_nothing_before_it() -> None:
    """The report of a past week stays as it was, whatever came later."""
    made = good_lots().strips(36, "L-5", 20, 10)
    found = seen(made, Chosen(until=day(35)))

    assert found.proposals == ()
    assert found == seen(good_lots(), Chosen(until=day(35)))


def test_a_lot_may_be_flagged_by_the_sum_alone_or_by_the_chart_alone() -> None:
    """A run of invalid strips at the start, or too many in all."""
    run = good_lots().strips(36, "L-RUN", 0, 6).strips(37, "L-RUN", 494, 0)
    (by_sum,) = seen(run, Chosen()).proposals
    assert by_sum.flag is not None
    assert by_sum.point is not None
    assert not by_sum.point.is_high

    slow = Made()
    for _ in range(20):
        slow.strips(0, "L-1", 199, 1)
    for _ in range(20):
        slow.strips(36, "L-SLOW", 26, 1)
    (by_chart,) = seen(slow, Chosen()).proposals
    assert (by_chart.lot, by_chart.flag) == ("L-SLOW", None)
    assert by_chart.point is not None
    assert by_chart.point.is_high


def test_too_few_invalid_strips_are_no_reason_for_anything() -> None:
    """They are out of the ordinary, and nobody is harmed."""
    made = Made().strips(0, "L-1", 1_000, 0).strips(1, "L-2", 960, 40).strips(2, "L-3", 960, 40)
    found = seen(made, Chosen(until=day(2)))

    assert "L-1" not in [each.lot for each in found.proposals]
    chart = found.charts[0].chart
    assert chart.points[0].is_flagged
    assert not chart.points[0].is_high


def test_each_assay_has_charts_of_its_own_by_lot_and_by_operator() -> None:
    """Invalid strips are not alike among kits."""
    made = good_lots().strips(3, "T-1", 10, 5, assay="throat", operator="two")
    found = seen(made, Chosen())

    assert [(each.assay, each.by, each.chart.sign) for each in found.charts] == [
        (assay, by, sign)
        for assay in ("nasal", "throat")
        for sign in Sign
        for by in (By.LOT, By.OPERATOR)
    ]
    of_throat = found.charts[-3].chart
    assert [(each.key, each.tests, each.hits) for each in of_throat.points] == [("two", 15, 5)]


def test_lots_stand_on_a_chart_in_the_order_in_which_they_came() -> None:
    """As whoever opened them remembers them."""
    made = Made().strips(0, "L-9", 5, 0).strips(1, "L-1", 5, 0).strips(2, "L-9", 5, 0)

    assert [each.key for each in seen(made, Chosen()).charts[0].chart.points] == ["L-9", "L-1"]


def test_a_chart_of_one_week_reaches_back_a_quarter_and_no_further() -> None:
    """A week alone has nothing to be held against."""
    made = Made().strips(0, "L-OLD", 50, 1).strips(20, "L-1", 50, 1)
    last = REACHES_BACK + 5
    made.strips(last, "L-2", 50, 1)
    found = seen(made, Chosen(since=day(last - 6), until=day(last)))

    assert (found.since, found.until) == (day(6), day(last))
    assert [each.key for each in found.charts[0].chart.points] == ["L-1", "L-2"]


def test_longer_days_are_covered_whole() -> None:
    """Who asks for a year has the year."""
    made = Made().strips(0, "L-1", 5, 0).strips(300, "L-2", 5, 0)

    assert seen(made, Chosen(since=day(0))).since == day(0)


def test_where_nothing_was_counted_there_are_no_charts() -> None:
    """An empty week of a bay that has others, and an empty bay."""
    for made in (good_lots(), Made()):
        found = seen(made, Chosen(since=day(900)))
        assert (found.since, found.until, found.charts, found.proposals) == (None, None, (), ())


def test_only_assays_that_are_asked_about_are_watched() -> None:
    """And only lots that are asked about are proposed."""
    made = good_lots().strips(3, "T-1", 0, 20, assay="throat")

    assert seen(made, Chosen(assays=("nasal",))).proposals == ()
    assert [each.lot for each in seen(made, Chosen(lots=("T-1",))).proposals] == ["T-1"]
    assert seen(made, Chosen(lots=("L-1",))).proposals == ()
