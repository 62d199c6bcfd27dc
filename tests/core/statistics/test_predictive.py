"""What a result means hangs on how common the infection is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.core.statistics.predictive import Observed, meaning

PREVALENCES = st.floats(min_value=0.001, max_value=0.999)


@st.composite
def counted(draw: st.DrawFn) -> Observed:
    """So many of so many, now and then none or all."""
    of = draw(st.integers(min_value=1, max_value=500))
    return Observed(hits=draw(st.integers(min_value=0, max_value=of)), of=of)


@given(PREVALENCES, counted(), counted())
def test_a_value_lies_in_its_interval_and_a_thousand_people_are_a_thousand(
    prevalence: float, sensitivity: Observed, specificity: Observed
) -> None:
    """Whatever was counted in the study, even all or none."""
    found = meaning(prevalence, sensitivity, specificity)

    assert found is not None
    for each in (found.positive, found.negative):
        assert 0.0 <= each.low <= each.value <= each.high <= 1.0
    people = found.per_thousand
    parts = (
        people.true_positive,
        people.false_negative,
        people.false_positive,
        people.true_negative,
    )
    assert sum(parts) == 1000
    assert min(parts) >= 0


def test_perfection_in_a_small_study_is_no_certainty() -> None:
    """A maker's hundred of a hundred leaves an interval, and it is shown."""
    found = meaning(0.05, Observed(hits=72, of=100), Observed(hits=100, of=100))

    assert found is not None
    assert found.positive.value == 1.0
    assert found.positive.low < 0.5


def test_more_people_in_the_study_leave_less_doubt() -> None:
    """Ten times the people, the same shares."""
    few = meaning(0.1, Observed(hits=80, of=100), Observed(hits=98, of=100))
    many = meaning(0.1, Observed(hits=800, of=1000), Observed(hits=980, of=1000))

    assert few is not None
    assert many is not None
    assert many.positive.value == pytest.approx(few.positive.value)
    assert many.positive.high - many.positive.low < few.positive.high - few.positive.low


@pytest.mark.parametrize("prevalence", [0.0, 1.0, -0.1, 1.1])
def test_at_a_prevalence_of_none_or_all_nothing_is_left_to_say(prevalence: float) -> None:
    """The result of a test then says nothing that was not known before."""
    assert meaning(prevalence, Observed(hits=1, of=2), Observed(hits=1, of=2)) is None


def test_a_study_of_nobody_says_nothing() -> None:
    """Nothing is divided by it either."""
    assert meaning(0.1, Observed(hits=0, of=0), Observed(hits=1, of=2)) is None


def test_where_a_study_found_nobody_a_positive_means_what_the_doubt_allows() -> None:
    """Nobody was found and nobody wrongly suspected: there is no share, only an interval."""
    found = meaning(0.5, Observed(hits=0, of=10), Observed(hits=10, of=10))

    assert found is not None
    assert found.positive.low < found.positive.value < found.positive.high
