"""The running sum of a lot as it is drawn is the one that flags it."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from readbell.core.figures.case import Came
from readbell.core.figures.counted import Counted
from readbell.core.figures.course import course_of
from readbell.core.figures.tally import IN_WINDOW
from readbell.core.figures.watching import flagged_lots
from readbell.core.statistics.cusum import Watch

WATCH = Watch(usual=0.02, worse=0.06, up=3, limit=7)
GOOD, BAD, UNREAD = Came.NEGATIVE, Came.INVALID, Came.LAPSED


def test_it_rises_with_invalid_strips_falls_with_others_and_goes_on_behind_its_flag() -> None:
    """Three up, one down, never below nothing; what nobody read is passed over."""
    strips = (BAD, GOOD, UNREAD, BAD, BAD, GOOD, BAD)
    found = course_of(WATCH, dict(enumerate(strips, 1)))
    assert found is not None

    assert found.steps == (3, 2, 5, 8, 7, 10)
    assert (found.read, found.invalid) == (6, 4)
    assert (found.limit, found.flagged_after) == (7, 4)


def test_strips_count_in_the_order_of_labelling_however_they_were_entered() -> None:
    """One that was read late is not a later one."""
    found = course_of(WATCH, {3: BAD, 1: GOOD, 2: GOOD})
    assert found is not None

    assert found.steps == (0, 0, 3)
    assert found.flagged_after is None


def test_a_lot_of_which_nothing_was_read_has_no_course() -> None:
    """There is nothing to draw."""
    assert course_of(WATCH, {}) is None
    assert course_of(WATCH, {1: UNREAD, 2: Came.VOID}) is None


@given(st.lists(st.sampled_from(Came)))
def test_what_is_drawn_above_the_limit_is_what_is_flagged(strips: list[Came]) -> None:
    """A picture that said otherwise than the proposal would be worse than none."""
    came = dict(enumerate(strips, 1))
    found = course_of(WATCH, came)
    flagged = flagged_lots(WATCH, Counted(courses={("nasal", "L-1"): came}))

    assert (found is not None and found.flagged_after is not None) == (flagged == ("L-1",))
    assert (0 if found is None else found.read) == sum(each in IN_WINDOW for each in strips)
