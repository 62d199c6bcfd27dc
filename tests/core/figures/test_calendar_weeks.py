"""Weeks from Monday to Sunday, as ISO 8601 counts them."""

from __future__ import annotations

from collections import Counter
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.core.figures.calendar_weeks import by_week, days_of
from readbell.core.figures.case import Came
from readbell.core.figures.tally import Tally


def test_a_week_has_its_seven_days() -> None:
    """The first one of a year may begin in the year before (ISO 8601)."""
    assert days_of("2026-W13") == (date(2026, 3, 23), date(2026, 3, 29))
    assert days_of("2026-W01") == (date(2025, 12, 29), date(2026, 1, 4))


@pytest.mark.parametrize(
    "said",
    ["", "2026-13", "2026-W54", "2025-W53", "2026-W00", "0000-W01", "9999-W53", "13", "2026-W1"],
)
def test_what_is_no_week_has_no_days(said: str) -> None:
    """Neither a fifty-third one in a year of fifty-two, nor one beyond all days."""
    assert days_of(said) is None


@given(st.dictionaries(st.dates(), st.integers(1, 9)))
def test_each_day_is_counted_in_the_week_that_has_it(counts: dict[date, int]) -> None:
    """All of them together, in the order of time."""
    days = {
        each.isoformat(): Tally(came=Counter({Came.NEGATIVE: count}))
        for each, count in sorted(counts.items())
    }
    found = by_week(days)

    assert sum(each.total for each in found.values()) == sum(counts.values())
    assert list(found) == sorted(found)
    for each in counts:
        year, week, _ = each.isocalendar()
        assert found[f"{year:04}-W{week:02}"].total >= counts[each]
