"""When a step was done is known to the millisecond, or within the doubt that was stated."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import at, span
from readbell.core.cartridge.moment import stated, timed
from readbell.core.instant import Instant, Span


def test_a_press_is_known_to_the_millisecond() -> None:
    """What the clock timed leaves no doubt and is not marked as stated."""
    done = timed(at("3:00"))

    assert done.earliest == done.said == done.latest == at("3:00")
    assert not done.stated


@pytest.mark.parametrize(
    ("said", "doubt", "earliest", "latest"),
    [
        pytest.param("3:00", "0:30", "2:30", "3:30", id="give or take on both sides"),
        pytest.param("3:00", "0:00", "3:00", "3:00", id="no doubt at all"),
        pytest.param("1:20", "0:30", "1:00", "1:50", id="not before the act that went before"),
        pytest.param("4:50", "0:30", "4:20", "5:00", id="not after it was told"),
        pytest.param("3:00", "9:00", "1:00", "5:00", id="a doubt wider than what is known"),
    ],
)
def test_a_statement_is_as_narrow_as_it_is_known(
    said: str, doubt: str, earliest: str, latest: str
) -> None:
    """The record of the act before and the instant of telling bound what can be true."""
    done = stated(at(said), span(doubt), not_before=at("1:00"), recorded=at("5:00"))

    assert (done.said, done.earliest, done.latest) == (at(said), at(earliest), at(latest))
    assert done.stated


@settings(deadline=None, max_examples=100)
@given(
    before=st.integers(0, 10**6),
    since=st.integers(0, 10**6),
    told=st.integers(0, 10**6),
    doubt=st.integers(0, 10**6),
)
def test_the_best_guess_lies_within_its_doubt(
    before: int, since: int, told: int, doubt: int
) -> None:
    """Every rule takes one end of the stretch, so its ends may not be the wrong way round."""
    said = Instant(before + since)
    done = stated(said, Span(doubt), not_before=Instant(before), recorded=Instant(said + told))

    assert before <= done.earliest <= done.said <= done.latest <= said + told


def test_a_doubt_below_nothing_is_no_doubt() -> None:
    """It would widen the window it is meant to narrow."""
    done = stated(at("3:00"), Span(-30_000), not_before=at("1:00"), recorded=at("5:00"))

    assert (done.earliest, done.latest) == (at("3:00"), at("3:00"))
