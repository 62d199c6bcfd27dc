"""The clocks are compared so that nobody is fooled by one that was moved or stood still."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.clock.clock import Reading
from readbell.clock.drift import TOLERANCE, Drift, drift
from readbell.core.instant import Span

BEFORE = Reading(wall=1_000_000, counting=50_000, running=40_000, boot="boot-1")
PASSED = 60_000


def after(*, moved: int = 0, slept: int = 0) -> Reading:
    """Return a look a minute later, with what happened to the clocks meanwhile."""
    return Reading(
        wall=BEFORE.wall + PASSED + moved,
        counting=BEFORE.counting + PASSED,
        running=BEFORE.running + PASSED - slept,
        boot="boot-1",
    )


def test_clocks_that_agree_are_nothing_to_tell() -> None:
    """It is the usual case, once a second, all day."""
    assert drift(BEFORE, after()) == Drift(jumped=Span(0), slept=Span(0))
    assert drift(BEFORE, BEFORE) == Drift(jumped=Span(0), slept=Span(0))


@pytest.mark.parametrize(
    ("moved", "told"),
    [
        pytest.param(1_000, 0, id="a second forward is tolerated"),
        pytest.param(1_001, 1_001, id="a millisecond more is told"),
        pytest.param(-1_000, 0, id="a second back is tolerated"),
        pytest.param(-1_001, -1_001, id="a millisecond more back is told"),
        pytest.param(3_600_000, 3_600_000, id="somebody set summer time by hand"),
        pytest.param(-3_600_000, -3_600_000, id="and back again"),
    ],
)
def test_a_wall_clock_moved_by_more_than_a_second_is_told(moved: int, told: int) -> None:
    """Below that it is the daily correction over the network, above it is an event."""
    assert drift(BEFORE, after(moved=moved)) == Drift(jumped=Span(told), slept=Span(0))


@pytest.mark.parametrize(
    ("slept", "told"),
    [
        pytest.param(1_000, 0, id="a second is tolerated"),
        pytest.param(1_001, 1_001, id="a millisecond more is told"),
        pytest.param(PASSED, PASSED, id="the whole minute"),
        pytest.param(-2_000, 0, id="a clock cannot sleep less than nothing"),
    ],
)
def test_a_sleep_of_more_than_a_second_is_told(slept: int, told: int) -> None:
    """No alarm could ring meanwhile, so somebody has to look at the cartridges."""
    assert drift(BEFORE, after(slept=slept)) == Drift(jumped=Span(0), slept=Span(told))


def test_the_tolerance_is_the_second_that_the_operators_are_told_of() -> None:
    """It stands in the rules of the record, so it must not change unnoticed."""
    assert TOLERANCE == 1_000


@given(moved=st.integers(-(10**9), 10**9), slept=st.integers(0, PASSED))
def test_a_sleep_is_not_taken_for_a_moved_clock_nor_the_other_way(moved: int, slept: int) -> None:
    """Wall and counting clock go on together in sleep; only the running clock stands."""
    both = drift(BEFORE, after(moved=moved, slept=slept))

    assert both.jumped == drift(BEFORE, after(moved=moved)).jumped
    assert both.slept == drift(BEFORE, after(slept=slept)).slept
