"""The bay's time line: every elapsed time on the board is a distance on it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readbell.clock.anchor import Anchor, Moment, anchor
from readbell.clock.clock import Reading
from readbell.core.instant import Instant

NOON = 1_774_785_600_000
LAST = Moment(at=Instant(NOON + 7), wall=NOON, counting=50_000, boot="boot-1")
"""The bay's line is 7 ms ahead of the wall clock, so that the two cannot be mixed up."""


def look(wall: int, counting: int, boot: str = "boot-1", *, known: bool = True) -> Reading:
    """Return a look at the clocks."""
    return Reading(wall=wall, counting=counting, running=counting, boot=boot, wall_is_known=known)


def test_a_new_bay_begins_its_line_at_the_wall_clock() -> None:
    """There is nothing else to begin with, and people must recognise the day."""
    first = look(NOON, 123)

    joined = anchor(None, first)

    assert joined.sure
    assert joined.instant(first) == NOON


@given(passed=st.integers(0, 10**10), moved=st.integers(-(10**12), 10**12))
def test_within_one_boot_only_the_counting_clock_counts(passed: int, moved: int) -> None:
    """Somebody set the wall clock; the strip develops on regardless."""
    now = look(NOON + moved, LAST.counting + passed)

    joined = anchor(LAST, now)

    assert joined.sure
    assert joined.instant(now) == LAST.at + passed


def test_within_one_boot_a_wall_clock_that_is_not_known_does_no_harm() -> None:
    """It is not asked for anything there."""
    now = look(0, LAST.counting + 900_000, known=False)

    joined = anchor(LAST, now)

    assert joined.sure
    assert joined.instant(now) == LAST.at + 900_000


def test_across_a_restart_the_line_goes_on_by_the_wall_clock() -> None:
    """The counting clock began anew; what the restart took, only the wall clock knows."""
    now = look(NOON + 180_000, 20_000, "boot-2")

    joined = anchor(LAST, now)

    assert joined.sure
    assert joined.instant(now) == LAST.at + 180_000
    assert joined.instant(look(0, 20_000 + 5_000, "boot-2")) == LAST.at + 185_000


@pytest.mark.parametrize(
    ("wall", "sure"),
    [
        pytest.param(NOON - 1, False, id="just before the last event"),
        pytest.param(NOON, True, id="at the last event"),
        pytest.param(NOON + 1, True, id="just after it"),
    ],
)
def test_a_wall_clock_before_the_last_event_cannot_be_right(wall: int, sure: bool) -> None:
    """Time does not run backwards, so such a clock says nothing about what has passed."""
    assert anchor(LAST, look(wall, 20_000, "boot-2")).sure is sure


@pytest.mark.parametrize(
    "now",
    [
        pytest.param(look(NOON - 3_600_000, 20_000, "boot-2"), id="an hour back"),
        pytest.param(look(0, 20_000, "boot-2"), id="battery of the clock is empty"),
        pytest.param(look(NOON + 3_600_000, 20_000, "boot-2", known=False), id="not known"),
    ],
)
def test_after_a_restart_of_unknown_length_no_time_is_counted(now: Reading) -> None:
    """A wait that may have been short then counts as short; nothing is read too early."""
    joined = anchor(LAST, now)

    assert not joined.sure
    assert joined.instant(now) == LAST.at


@given(
    wall=st.integers(0, 2 * NOON),
    counting=st.integers(50_000, 10**10),
    boot=st.sampled_from(["boot-1", "boot-2"]),
    known=st.booleans(),
)
def test_the_line_never_goes_back(wall: int, counting: int, boot: str, known: bool) -> None:
    """An event recorded after another is later on the line, whatever the clocks did."""
    now = look(wall, counting, boot, known=known)

    assert anchor(LAST, now).instant(now) >= LAST.at


def test_a_moment_keeps_every_clock_as_it_was_read() -> None:
    """Whoever doubts a time later must be able to see what each clock said."""
    joined = Anchor(at=Instant(NOON), counting=100)

    moment = joined.moment(look(NOON + 9_000, 350, "boot-3"))

    assert moment == Moment(at=Instant(NOON + 250), wall=NOON + 9_000, counting=350, boot="boot-3")


def test_taking_up_the_line_twice_gives_the_same_line() -> None:
    """A program that is restarted at once must not shift a countdown by a millisecond."""
    now = look(NOON + 180_000, 20_000, "boot-2")
    once = anchor(LAST, now)
    moment = once.moment(now)
    later = look(NOON + 999_000, 65_000, "boot-2")

    assert anchor(moment, later).instant(later) == once.instant(later)
