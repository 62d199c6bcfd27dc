"""Time is whole milliseconds, and a countdown never claims that time is up before it is."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readbell.core.instant import (
    SECOND,
    Instant,
    Span,
    between,
    earlier,
    later,
    seconds,
    whole_seconds_left,
)

INSTANTS = st.integers(-(10**13), 10**13).map(Instant)
SPANS = st.integers(-(10**9), 10**9).map(Span)


@pytest.mark.parametrize(
    ("now", "shown"),
    [
        pytest.param(8_999, 2, id="a millisecond more than a second left"),
        pytest.param(9_000, 1, id="a whole second left"),
        pytest.param(9_999, 1, id="one millisecond left"),
        pytest.param(10_000, 0, id="at the deadline"),
        pytest.param(10_999, 0, id="not yet a second gone"),
        pytest.param(11_000, -1, id="a whole second gone"),
    ],
)
def test_a_countdown_is_rounded_up(now: int, shown: int) -> None:
    """Somebody who acts on a 0 must not be early, be it by a millisecond."""
    assert whole_seconds_left(Instant(now), Instant(10_000)) == shown


@settings(deadline=None, max_examples=200)
@given(now=INSTANTS, left=st.integers(1, 10**9))
def test_nought_is_never_shown_while_time_is_left(now: Instant, left: int) -> None:
    """The figure is at least 1 until the deadline itself, and never a second too much."""
    shown = whole_seconds_left(now, later(now, Span(left)))

    assert shown >= 1
    assert 0 <= shown * SECOND - left < SECOND


@settings(deadline=None, max_examples=100)
@given(start=INSTANTS, span=SPANS)
def test_going_on_and_coming_back_lose_nothing(start: Instant, span: Span) -> None:
    """Deadlines are worked out forwards and backwards, and both must agree to the millisecond."""
    end = later(start, span)

    assert between(start, end) == span
    assert earlier(end, span) == start


def test_seconds_keep_their_milliseconds() -> None:
    """A report in seconds may not round away what the clock measured."""
    assert seconds(Span(899_999)) == 899.999
