"""A clock that a person steers must never go back, and never pass over anything by itself."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patience import PATIENCE_SECONDS
from readbell.clock import paced
from readbell.clock.paced import PacedClock
from readbell.core.instant import Span

if TYPE_CHECKING:
    from collections.abc import Callable

START = 1_774_745_600_000
MILLISECOND = 1_000_000


class Real:
    """A real clock that a test moves."""

    def __init__(self) -> None:
        self.now = 7 * MILLISECOND

    def __call__(self) -> int:
        """Tell the nanoseconds."""
        return self.now

    def pass_by(self, milliseconds: float) -> None:
        """Let real time go by."""
        self.now += round(milliseconds * MILLISECOND)


def clock_on(real: Callable[[], int], *naps: tuple[int, int]) -> PacedClock:
    """Return a clock that goes by `real`."""
    return PacedClock(START, "boot-1", naps, real)


def test_it_begins_standing_still() -> None:
    """Whoever reads the goal first loses no time by it."""
    real = Real()
    clock = clock_on(real)
    real.pass_by(60_000)

    assert clock.speed == 0
    assert clock.read().counting == 0
    assert (clock.read().wall, clock.read().boot) == (START, "boot-1")
    assert clock.read().wall_is_known


def test_it_goes_so_many_times_as_fast_and_stands_still_where_it_is() -> None:
    """The minute in the buffer is three seconds at twenty times the speed of life."""
    real = Real()
    clock = clock_on(real)
    clock.go_at(20)
    real.pass_by(3_000)
    assert clock.passed == 60_000
    clock.go_at(0)
    real.pass_by(9_000)
    assert clock.passed == 60_000
    clock.go_at(1)
    real.pass_by(500)
    assert clock.passed == 60_500


@given(
    changes=st.lists(
        st.tuples(st.sampled_from([0, 1, 4, 20, 60]), st.floats(0, 500), st.booleans())
    )
)
def test_no_change_of_speed_loses_or_makes_time(
    changes: list[tuple[int, float, bool]],
) -> None:
    """However often it is steered: each real stretch counts its speed, to the millisecond."""
    real = Real()
    clock = clock_on(real)
    expected, last = 0, 0
    for speed, stretch, looks in changes:
        clock.go_at(speed)
        before = real.now
        real.pass_by(stretch)
        expected += (real.now - before) * speed
        if looks:
            assert last <= clock.passed
            last = clock.passed
    assert clock.passed == expected // MILLISECOND


def test_a_leap_lands_where_it_was_meant_and_goes_on_from_there() -> None:
    """The next thing to do is there at once, and the speed is as before."""
    real = Real()
    clock = clock_on(real)
    clock.go_at(4)
    clock.leap(900_000)
    assert clock.passed == 900_000
    real.pass_by(1_000)
    assert clock.passed == 904_000


def test_it_never_leaps_back() -> None:
    """Time that is over is over."""
    real = Real()
    clock = clock_on(real)
    clock.go_at(1)
    real.pass_by(5_000)
    clock.leap(2_000)

    assert clock.passed == 5_000


def test_a_closed_lid_is_passed_at_once_and_counted() -> None:
    """The counting clock has gone on, the running one has not: so the bay knows it slept."""
    real = Real()
    clock = clock_on(real, (10_000, 490_000))
    clock.go_at(1)
    real.pass_by(10_000)
    assert clock.passed == 10_000
    real.pass_by(1)
    reading = clock.read()
    assert (reading.counting, reading.running) == (490_001, 10_001)
    assert reading.wall == START + 490_001


def test_a_leap_over_a_closed_lid_lands_where_it_was_meant() -> None:
    """A nap in between takes no time of anybody's."""
    clock = clock_on(Real(), (10_000, 490_000))
    clock.leap(600_000)
    reading = clock.read()

    assert (reading.counting, reading.running) == (600_000, 120_000)


async def test_whoever_sleeps_wakes_when_the_clock_is_steered(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A deadline that a leap has passed is announced now, and not a stretch later."""
    monkeypatch.setattr(paced, "LONGEST_STRETCH_SECONDS", 10 * PATIENCE_SECONDS)
    clock = clock_on(Real())
    sleeper = clock.sleeper(0)
    for steer in (lambda: clock.go_at(20), lambda: clock.leap(5_000)):
        sleeping = asyncio.create_task(sleeper.sleep(Span(3_600_000)))
        await asyncio.sleep(0)  # noqa: TID251  # lets the task begin; no time passes
        await asyncio.to_thread(steer)
        await asyncio.wait_for(sleeping, PATIENCE_SECONDS)


async def test_a_wake_before_a_sleep_ends_the_sleep_to_come(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """No wake is lost between two looks."""
    monkeypatch.setattr(paced, "LONGEST_STRETCH_SECONDS", 10 * PATIENCE_SECONDS)
    sleeper = clock_on(Real()).sleeper(0)
    sleeper.wake()

    await asyncio.wait_for(sleeper.sleep(None), PATIENCE_SECONDS)


async def test_a_span_is_slept_at_the_speed_of_the_clock() -> None:
    """Twenty simulated milliseconds are one real one, or as near as a loop can wait."""
    clock = PacedClock(START, "boot-1")
    sleeper = clock.sleeper(0)
    clock.go_at(1_000)
    before = clock.passed
    await sleeper.sleep(Span(2_000))

    assert clock.passed - before >= 1_000


@pytest.mark.parametrize(("before", "speed"), [(1, 1_000), (2_000, 1_000)])
def test_a_race_goes_to_where_it_was_meant_and_then_on_as_before(before: int, speed: int) -> None:
    """Hands are at work: time goes by, and nobody has to wait for it."""
    clock = PacedClock(START, "boot-1")
    clock.go_at(before)
    clock.race(clock.passed + 20_000, speed)

    assert clock.passed >= 20_000
    assert clock.speed == before


@pytest.mark.parametrize("again", [False, True])
async def test_whoever_has_retired_is_woken_no_more(again: bool) -> None:
    """Their loop may be gone."""
    clock = clock_on(Real())
    sleeper = clock.sleeper(0)
    sleeper.retire()
    if again:
        sleeper.retire()

    clock.go_at(4)
