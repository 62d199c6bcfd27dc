"""What cases add up to: counts, rates and lengths; added, joined and taken off again."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.figures.cases import CASES, READ, tally_of
from readbell.core.figures.case import Came, Case
from readbell.core.figures.tally import Tally
from readbell.core.instant import Span


def cases_that_came_to(*came: Came) -> list[Case]:
    """A case for each of `came`."""
    return [replace(READ, came=each) for each in came]


def test_each_rate_has_its_own_whole() -> None:
    """Positivity among valid ones, invalid among read ones, lapsed among all that count."""
    tally = tally_of(
        *cases_that_came_to(Came.POSITIVE, Came.NEGATIVE, Came.NEGATIVE, Came.NEGATIVE),
        *cases_that_came_to(Came.INVALID, Came.LAPSED, Came.WITHHELD),
        *cases_that_came_to(Came.VOID, Came.WITHDRAWN),
    )

    assert (tally.total, tally.tests, tally.in_window, tally.valid) == (9, 7, 5, 4)
    assert tally.positivity.value == pytest.approx(1 / 4)
    assert tally.invalid.value == pytest.approx(1 / 5)
    assert tally.lapsed.value == pytest.approx(1 / 7)


def test_of_nothing_there_is_no_rate_but_everything_is_possible() -> None:
    """From none to all."""
    assert (Tally().positivity.low, Tally().positivity.high) == (0.0, 1.0)


def test_lengths_are_kept_in_the_units_they_are_shown_in() -> None:
    """Seconds, hundredths of the window, minutes: whole ones, none rounded up."""
    tally = tally_of(READ)

    assert tally.read_at.quantiles(0.5) == (960,)
    assert tally.window_used.quantiles(0.5) == (20,)
    assert tally.told_after.quantiles(0.5) == (25,)
    wait = tally.waits["nasal", "extract"]
    assert (wait.took.quantiles(0.5), wait.kept, wait.idle) == ((75,), 1, 15)
    assert (tally.waits_timed, tally.waits_kept.value, wait.kept_share.value) == (1, 1.0, 1.0)


def test_marks_are_counted_beside_what_a_case_came_to() -> None:
    """A faint line counts among positives; an early look where a positive came of it."""
    seen = replace(READ, came=Came.POSITIVE, faint=True, early=Span(300_000), picked=True)
    contradicted = replace(seen, came=Came.WITHHELD, stated=True, repeat=True)
    tally = tally_of(seen, contradicted, replace(READ, read=None, window_used=None, told=None))

    assert (tally.faint, tally.early, tally.repeats) == (1, 1, 1)
    assert tally.early_at.count == 2
    assert (tally.early_share.value, tally.faint_share.value) == (1.0, 1.0)
    assert tally.picked_share.value == pytest.approx(2 / 3)
    assert tally.stated_share.value == pytest.approx(1 / 3)
    assert tally.repeat_share.value == pytest.approx(1 / 3)
    assert tally.read_at.count == 2
    assert tally.hours == {9: 3}


@pytest.mark.parametrize(
    "late",
    [
        replace(READ, came=Came.POSITIVE, may_be_early=False),
        replace(READ, came=Came.POSITIVE, stated=True),
    ],
)
def test_a_positive_that_could_not_be_timed_as_early_is_in_no_share_of_early_ones(
    late: Case,
) -> None:
    """Else an assay that allows no early look would make every other one look late."""
    seen = replace(READ, came=Came.POSITIVE, early=Span(300_000))
    tally = tally_of(seen, late)

    assert (tally.early, tally.could_be_early) == (1, 1)


@given(st.lists(CASES), st.lists(CASES))
def test_joining_adds_and_taking_off_undoes_it(some: list[Case], others: list[Case]) -> None:
    """In whatever parts the cases came."""
    whole, joined = tally_of(*some, *others), tally_of(*some)
    joined.join(tally_of(*others))
    assert joined == whole

    for case in others:
        whole.add(case, 9, -1)
    joined.join(tally_of(*others), -1)
    left = tally_of(*some)
    for found in (whole, joined):
        assert +found.came == left.came
        assert [each.counts for each in found.spreads()] == [each.counts for each in left.spreads()]
        assert found.waits_kept == left.waits_kept
