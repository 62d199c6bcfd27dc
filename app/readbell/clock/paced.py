"""A clock whose simulated time runs at a speed of the real one, and may stand still.

A rehearsal with a person at the keys runs on it: the same scheduler, sounder and bay
as on the computer's own clocks. It may be read, set to another speed and made to leap
from any thread; whoever sleeps on it is woken and asks again.
"""

from __future__ import annotations

import asyncio
import threading
import time
from contextlib import suppress
from typing import TYPE_CHECKING

from readbell.clock.clock import LONGEST_STRETCH_SECONDS, Reading
from readbell.core.instant import SECOND, Span

if TYPE_CHECKING:
    from collections.abc import Callable

_NANOSECONDS = 1_000_000
STILL = 0
"""The speed of a clock that stands still."""


class PacedSleeper:
    """Waits in short stretches on the running loop; each change of speed ends one."""

    def __init__(self, clock: PacedClock) -> None:
        self._clock = clock
        self._woken = asyncio.Event()
        self._loop: asyncio.AbstractEventLoop | None = None

    async def sleep(self, span: Span | None) -> None:
        """Wait for `span` of simulated time, for a wake, or for one stretch, whichever ends first."""
        self._loop = asyncio.get_running_loop()
        stretch, speed = LONGEST_STRETCH_SECONDS, self._clock.speed
        if span is not None and speed > STILL:
            stretch = min(stretch, span / SECOND / speed)
        if stretch > 0 and (span is None or span > 0):
            with suppress(TimeoutError):
                await asyncio.wait_for(self._woken.wait(), stretch)
        self._woken.clear()

    def wake(self) -> None:
        """End the present sleep, or else the next one, at once."""
        self._woken.set()

    def wake_from_anywhere(self) -> None:
        """Do the same from another thread."""
        if self._loop is not None:
            with suppress(RuntimeError):  # the loop has ended, and nobody sleeps there any more
                self._loop.call_soon_threadsafe(self._woken.set)

    def retire(self) -> None:
        """Never sleep again."""
        self._clock.forget(self)


class PacedClock:
    """Simulated time that a person steers. It begins standing still.

    Args:
        wall: UTC milliseconds since 1970 at which it starts.
        boot: name of the pretended run of the computer.
        naps: pairs of instants, in milliseconds after the start, between which the
            pretended computer is suspended: there the clock leaps, and nobody wakes.
        real: the real clock it goes by, in nanoseconds from some fixed point.
    """

    def __init__(
        self,
        wall: int,
        boot: str,
        naps: tuple[tuple[int, int], ...] = (),
        real: Callable[[], int] = time.monotonic_ns,
    ) -> None:
        self._start = wall
        self._boot = boot
        self._naps = tuple(sorted(naps))
        self._lock = threading.Lock()
        self._awake = 0
        """Nanoseconds that passed while the pretended computer was awake, at the anchor."""
        self._real = real
        self._anchor = real()
        self._speed = STILL
        self._sleepers: list[PacedSleeper] = []
        self._never = threading.Event()
        """Is never set: whoever races waits on it."""

    @property
    def speed(self) -> int:
        """Simulated seconds in a real one."""
        return self._speed

    @property
    def passed(self) -> int:
        """Milliseconds gone by since the start, naps included."""
        with self._lock:
            return self._with_naps(self._awake_now())

    def read(self) -> Reading:
        """Look at every pretended clock at once; from any thread."""
        with self._lock:
            awake = self._awake_now()
        passed = self._with_naps(awake)
        return Reading(wall=self._start + passed, counting=passed, running=awake, boot=self._boot)

    def sleeper(self, rank: int) -> PacedSleeper:  # noqa: ARG002  # passing time needs no rank
        """Return a new sleeper."""
        sleeper = PacedSleeper(self)
        self._sleepers.append(sleeper)
        return sleeper

    def forget(self, sleeper: PacedSleeper) -> None:
        """Wake `sleeper` no more."""
        with suppress(ValueError):
            self._sleepers.remove(sleeper)

    def go_at(self, speed: int) -> None:
        """Go on at `speed` from here; 0 stands still."""
        with self._lock:
            self._take_stock()
            self._speed = speed
        self._wake_all()

    def race(self, passed: int, speed: int) -> None:
        """Go at `speed` at least until `passed` milliseconds after the start, then as before.

        Whoever calls waits so long; nobody is to steer meanwhile.
        """
        before = self.speed
        self.go_at(max(speed, before))
        while (left := passed - self.passed) > 0:
            self._never.wait(left / SECOND / self.speed)
        self.go_at(before)

    def leap(self, passed: int) -> None:
        """Be at `passed` milliseconds after the start at once; never goes back."""
        with self._lock:
            self._take_stock()
            self._awake = max(self._awake, self._without_naps(passed) * _NANOSECONDS)
        self._wake_all()

    def _awake_now(self) -> int:
        return (self._awake + (self._real() - self._anchor) * self._speed) // _NANOSECONDS

    def _take_stock(self) -> None:
        """Count from here on; no part of a millisecond is lost or made."""
        now = self._real()
        self._awake += (now - self._anchor) * self._speed
        self._anchor = now

    def _with_naps(self, awake: int) -> int:
        passed = awake
        for shut, opened in self._naps:
            if passed > shut:
                passed += opened - shut
        return passed

    def _without_naps(self, passed: int) -> int:
        return passed - sum(min(end, passed) - begin for begin, end in self._naps if begin < passed)

    def _wake_all(self) -> None:
        for each in tuple(self._sleepers):
            each.wake_from_anywhere()
