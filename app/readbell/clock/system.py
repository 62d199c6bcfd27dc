"""The computer's own clocks.

Linux is proven: CLOCK_BOOTTIME counts sleep there. Elsewhere the nearest clock
is taken, `describe` says which, and elapsed time across a restart of the
program comes from the wall clock.
"""

from __future__ import annotations

import asyncio
import ctypes
import secrets
import sys
import time
from contextlib import suppress
from pathlib import Path

from readbell.clock.clock import LONGEST_STRETCH_SECONDS, Reading
from readbell.core.instant import SECOND, Span

_NANOSECONDS = 1_000_000
_BOOT_ID = Path("/proc/sys/kernel/random/boot_id")
_TIMEX_BYTES = 512
_CLOCK_NOT_SET = 5
"""What adjtimex answers while the kernel's clock is unsynchronised (TIME_ERROR)."""
_AT_ONCE = 20 * _NANOSECONDS
"""Clocks that were looked at in less show one instant; a busy computer may hold a program up between."""
_LOOKS = 5
_LAST_OF_IT = 2 * _NANOSECONDS
"""The loop rounds what it waits up to whole milliseconds; so much of a sleep is not left to it."""


class SystemSleeper:
    """Waits in short stretches on the running loop."""

    def __init__(self) -> None:
        self._woken = asyncio.Event()

    async def sleep(self, span: Span | None) -> None:
        """Wait for `span`, for a wake, or for one stretch, whichever ends first.

        A span ends where the counting clock begins the millisecond that it leads to.
        """
        stretch, ends = LONGEST_STRETCH_SECONDS, None
        if span is not None and span / SECOND <= stretch:
            now = _counting_ns()
            ends = (now // _NANOSECONDS + span) * _NANOSECONDS
            stretch = (ends - now - _LAST_OF_IT) / _NANOSECONDS / SECOND
        if stretch > 0:
            with suppress(TimeoutError):
                await asyncio.wait_for(self._woken.wait(), stretch)
        if ends is not None and not self._woken.is_set():
            _wait_out(ends)
        self._woken.clear()

    def wake(self) -> None:
        """End the present sleep, or else the next one, at once."""
        self._woken.set()

    def retire(self) -> None:
        """Nothing is kept here that would have to be given back."""


class SystemClock:
    """Looks at the clocks of this computer."""

    def __init__(self) -> None:
        self._boot = _boot_id()
        # Asked once: it matters only where the time line is joined to this boot.
        self._wall_is_known = _wall_is_known()

    def read(self) -> Reading:
        """Look at every clock at once; once more, if this program was held up in between.

        The clocks would seem to have parted, and whoever works here would be told so.
        """
        for _ in range(_LOOKS):
            before = _counting_ns()
            wall, running = time.time_ns(), time.monotonic_ns()
            counting = _counting_ns()
            if counting - before < _AT_ONCE:
                break
        return Reading(
            wall=wall // _NANOSECONDS,
            counting=counting // _NANOSECONDS,
            running=running // _NANOSECONDS,
            boot=self._boot,
            wall_is_known=self._wall_is_known,
        )

    def sleeper(self, rank: int) -> SystemSleeper:  # noqa: ARG002  # real time needs no rank
        """Return a new sleeper."""
        return SystemSleeper()


def _wait_out(ends: int) -> None:
    """Hold everything in this thread until `ends`, if that is in a moment: somebody is called then."""
    left = ends - _counting_ns()
    if 0 < left <= _LAST_OF_IT:
        time.sleep(left / _NANOSECONDS / SECOND)


def counts_sleep() -> bool:
    """Say whether this system's clock is proven to count the time asleep."""
    return hasattr(time, "CLOCK_BOOTTIME")


def clock_is_set() -> bool | None:
    """Say whether the system calls its wall clock set by a time source; None: it does not tell."""
    return _wall_is_known() if sys.platform.startswith("linux") else None


def describe() -> str:
    """Say in one line which clock counts sleep on this system."""
    if counts_sleep():
        return "Elapsed time comes from CLOCK_BOOTTIME, which counts sleep."
    if sys.platform == "darwin":
        return (
            "Elapsed time comes from CLOCK_MONOTONIC, which should count sleep here (not proven)."
        )
    return "Elapsed time comes from time.monotonic, which may not count sleep here (not proven)."


def _counting_ns() -> int:
    boottime = getattr(time, "CLOCK_BOOTTIME", None)
    if boottime is not None:
        return time.clock_gettime_ns(boottime)
    if sys.platform == "darwin":
        # Python's own monotonic clock stops in sleep there; the system call goes on.
        return time.clock_gettime_ns(time.CLOCK_MONOTONIC)
    return time.monotonic_ns()


def _boot_id() -> str:
    try:
        return _BOOT_ID.read_text(encoding="ascii").strip()
    except OSError:
        # Without a name for this run of the computer each run of the program is its own.
        return f"unknown-{secrets.token_hex(8)}"


def _wall_is_known() -> bool:
    if not sys.platform.startswith("linux"):
        return True
    try:
        state: int = ctypes.CDLL(None).adjtimex(ctypes.create_string_buffer(_TIMEX_BYTES))
    except (OSError, AttributeError):
        return True
    return state != _CLOCK_NOT_SET
