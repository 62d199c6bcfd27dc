"""The computer's own clocks: little can be proven of them, but what can is."""

from __future__ import annotations

import asyncio
import sys
import time
from typing import TYPE_CHECKING

import pytest

from patience import PATIENCE_SECONDS
from readbell.clock import system
from readbell.clock.clock import LONGEST_STRETCH_SECONDS
from readbell.clock.system import (
    SystemClock,
    SystemSleeper,
    clock_is_set,
    counts_sleep,
    describe,
)
from readbell.core.instant import Span

if TYPE_CHECKING:
    from pathlib import Path

ON_LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="only Linux tells")


def test_no_clock_but_the_wall_clock_ever_goes_back() -> None:
    """Elapsed time is a difference of two looks, and must not be less than nothing."""
    clock = SystemClock()
    looks = [clock.read() for _ in range(100)]

    assert [each.counting for each in looks] == sorted(each.counting for each in looks)
    assert [each.running for each in looks] == sorted(each.running for each in looks)


@ON_LINUX
def test_the_counting_clock_has_counted_at_least_what_the_running_clock_has() -> None:
    """It counts all that the other does, and sleep as well (clock_gettime(2))."""
    reading = SystemClock().read()

    # The two are read one after the other, so a millisecond may lie between them.
    assert reading.counting >= reading.running - 1


class HeldUp:
    """The module `time` of a computer that holds a program up whenever it has looked at one clock."""

    CLOCK_BOOTTIME = 7

    def __init__(self, clock: str, times: int) -> None:
        self._clock, self._times = clock, times
        self._now = 1_000_000_000_000

    def time_ns(self) -> int:
        """Return the wall clock."""
        return self._look("wall")

    def monotonic_ns(self) -> int:
        """Return the running clock."""
        return self._look("running")

    def clock_gettime_ns(self, clock: int) -> int:
        """Return the clock that counts sleep."""
        assert clock == self.CLOCK_BOOTTIME
        return self._look("counting")

    def _look(self, clock: str) -> int:
        shown = self._now
        if clock == self._clock and self._times > 0:
            self._times -= 1
            self._now += 3_000_000_000
        return shown


@pytest.mark.parametrize("clock", ["wall", "running", "counting"])
def test_a_program_that_is_held_up_between_two_clocks_looks_again(
    monkeypatch: pytest.MonkeyPatch, clock: str
) -> None:
    """The clocks would seem to have parted by seconds, and the bay would tell of it."""
    monkeypatch.setattr(system, "time", HeldUp(clock, 2))

    found = SystemClock().read()

    assert found.wall == found.counting == found.running


def test_the_wall_clock_is_utc_in_milliseconds(tmp_path: Path) -> None:
    """Held to the time the file system writes down, which is UTC since 1970 as well."""
    written = tmp_path / "now"
    written.touch()

    apart = SystemClock().read().wall - written.stat().st_mtime_ns // 1_000_000

    assert abs(apart) < 60_000  # however busy this computer is


@ON_LINUX
def test_all_programs_of_one_boot_name_it_alike() -> None:
    """By this name a restarted program knows that the counting clock still counts."""
    one, other = SystemClock().read(), SystemClock().read()

    assert one.boot == other.boot
    assert len(one.boot) == len("00000000-0000-0000-0000-000000000000")


def test_without_a_name_each_run_of_the_program_counts_as_a_boot(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Two boots taken for one would add up clocks that have nothing to do with each other."""
    monkeypatch.setattr(system, "_BOOT_ID", tmp_path / "not-there")

    one, other = SystemClock().read(), SystemClock().read()

    assert one.boot != other.boot


@pytest.mark.parametrize("span", [Span(0), Span(-5)], ids=["none", "less than none"])
async def test_a_sleep_of_no_length_is_over_at_once(span: Span) -> None:
    """A deadline that has passed is seen to without another round."""
    await asyncio.wait_for(SystemSleeper().sleep(span), PATIENCE_SECONDS)


async def test_a_short_sleep_lasts_as_long_as_it_should() -> None:
    """Nobody is called before the time."""
    loop = asyncio.get_running_loop()
    began = loop.time()

    await SystemClock().sleeper(0).sleep(Span(10))

    # The loop may fire a timer early by the resolution of its own clock.
    assert loop.time() - began >= 0.009


class Slow:
    """The module `time`, by whose counting clock the loop's sleeps end too early, and then too late."""

    CLOCK_BOOTTIME = 7

    def __init__(self, *shown: float) -> None:
        self._shown = [round(each * 1_000_000) for each in shown]
        self.slept: list[float] = []

    def clock_gettime_ns(self, clock: int) -> int:
        """Return the clock that counts sleep, which moves from look to look."""
        assert clock == self.CLOCK_BOOTTIME
        return self._shown.pop(0) if len(self._shown) > 1 else self._shown[0]

    def sleep(self, seconds: float) -> None:
        """Take note of a sleep in which nothing else goes on."""
        self.slept.append(round(seconds * 1000, 3))


@ON_LINUX
@pytest.mark.parametrize(
    ("shown", "held"),
    [
        pytest.param((5000.4, 5008.7), [1.3], id="to where a millisecond begins"),
        pytest.param((5000.4, 5010.2), [], id="not at all where it is late already"),
        pytest.param((5000.4, 5003.0), [], id="not at all where much is left"),
    ],
)
async def test_the_last_moment_of_a_sleep_is_not_left_to_the_loop(
    monkeypatch: pytest.MonkeyPatch, shown: tuple[float, ...], held: list[float]
) -> None:
    """It rounds up to whole milliseconds, and an alarm would be late by one or two."""
    slow = Slow(*shown)
    monkeypatch.setattr(system, "time", slow)

    await SystemSleeper().sleep(Span(10))

    assert slow.slept == held


@ON_LINUX
async def test_who_is_woken_does_not_wait_for_the_last_moment(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Somebody has done something, and the deadline may be another."""
    slow = Slow(5000.4, 5008.7)
    monkeypatch.setattr(system, "time", slow)
    sleeper = SystemSleeper()
    sleeper.wake()

    await sleeper.sleep(Span(10))

    assert slow.slept == []


async def test_a_sleep_without_end_is_ended_by_a_wake(monkeypatch: pytest.MonkeyPatch) -> None:
    """An act moves a deadline while the scheduler sleeps."""
    monkeypatch.setattr(system, "LONGEST_STRETCH_SECONDS", 10 * PATIENCE_SECONDS)
    sleeper = SystemSleeper()
    asyncio.get_running_loop().call_soon(sleeper.wake)

    await asyncio.wait_for(sleeper.sleep(None), PATIENCE_SECONDS)


async def test_a_wake_before_the_sleep_ends_the_next_one_and_no_more() -> None:
    """Word that came while one was busy must not be slept over, nor heard twice."""
    sleeper = SystemSleeper()
    loop = asyncio.get_running_loop()
    sleeper.wake()
    await sleeper.sleep(None)
    began = loop.time()

    await sleeper.sleep(Span(10))

    assert loop.time() - began >= 0.009


def test_no_stretch_is_longer_than_a_second() -> None:
    """After a suspend the next look at the clocks comes this soon; alarms wait no longer."""
    assert LONGEST_STRETCH_SECONDS <= 1


def test_a_retired_sleeper_needs_nothing() -> None:
    """It is asked of every sleeper, whatever the clock."""
    SystemClock().sleeper(0).retire()


@ON_LINUX
def test_this_system_says_which_clock_counts_sleep() -> None:
    """A site that relies on a laptop wants to know."""
    assert counts_sleep()
    assert describe() == "Elapsed time comes from CLOCK_BOOTTIME, which counts sleep."


@pytest.mark.parametrize(
    ("platform", "says"),
    [
        pytest.param("darwin", "CLOCK_MONOTONIC, which should count sleep", id="macOS"),
        pytest.param("win32", "time.monotonic, which may not count sleep", id="Windows"),
    ],
)
def test_where_it_is_not_proven_it_says_so(
    monkeypatch: pytest.MonkeyPatch, platform: str, says: str
) -> None:
    """An honest doubt is worth more than a claim nobody tried."""
    monkeypatch.delattr(time, "CLOCK_BOOTTIME", raising=False)
    monkeypatch.setattr(sys, "platform", platform)

    assert not counts_sleep()
    assert says in describe()
    assert describe().endswith("(not proven).")


@pytest.mark.parametrize("platform", ["darwin", "win32"])
def test_without_a_clock_that_counts_sleep_the_nearest_one_is_taken(
    monkeypatch: pytest.MonkeyPatch, platform: str
) -> None:
    """The bay works on such a system, too; a sleep is then seen by the wall clock alone."""
    monkeypatch.delattr(time, "CLOCK_BOOTTIME", raising=False)
    monkeypatch.setattr(sys, "platform", platform)
    reading = SystemClock().read()

    assert abs(reading.counting - reading.running) <= 1_000
    assert reading.wall_is_known


def test_a_system_that_does_not_tell_of_its_clock_is_not_called_set(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Only Linux says whether a time source sets it."""
    monkeypatch.setattr(sys, "platform", "win32")
    assert clock_is_set() is None
    monkeypatch.setattr(sys, "platform", "linux")
    assert clock_is_set() is SystemClock().read().wall_is_known
