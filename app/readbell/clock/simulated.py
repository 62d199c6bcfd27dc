"""A clock that jumps: when everybody sleeps, it goes straight to the next deadline.

The same scheduler and the same bay run on it unchanged. It moves only while all
its sleepers sleep, so whoever is awake has all the time in the world and a run
depends on nothing but its input.
"""

from __future__ import annotations

import asyncio
import heapq
from itertools import count
from typing import TYPE_CHECKING

from readbell.clock.clock import Reading
from readbell.core.instant import SECOND

if TYPE_CHECKING:
    from readbell.core.instant import Span

_NEVER = 1 << 62


class SimulatedSleeper:
    """One of those for whom the clock waits before it jumps."""

    def __init__(self, clock: SimulatedClock, rank: int) -> None:
        self._clock = clock
        self._rank = rank
        self._bed: asyncio.Future[None] | None = None
        self._woken = False

    @property
    def asleep(self) -> bool:
        """Whether the clock may jump as far as this sleeper is concerned."""
        return self._bed is not None and not self._bed.done()

    async def sleep(self, span: Span | None) -> None:
        """Wait until the clock has moved by `span`, or for a wake."""
        if not self._woken and (span is None or span > 0):
            self._bed = asyncio.get_running_loop().create_future()
            self._clock.put_to_bed(self._bed, self._rank, _NEVER if span is None else span)
            await self._bed
        self._woken = False

    def wake(self) -> None:
        """End the present sleep, or else the next one, at once."""
        self._woken = True
        if self._bed is not None and not self._bed.done():
            self._clock.stand_still()
            self._bed.set_result(None)

    def retire(self) -> None:
        """Never sleep again: the clock no longer waits for this sleeper."""
        self._clock.forget(self)


class SimulatedClock:
    """Time that stands still while anybody works.

    Args:
        wall: UTC milliseconds since 1970 at which it starts.
        boot: name of the pretended run of the computer.
        naps: pairs of instants, in milliseconds after the start, between which
            the pretended computer is suspended: nobody wakes before the second.
        pace: how many times faster than real time it goes; None: at once.
    """

    def __init__(
        self,
        wall: int,
        boot: str,
        naps: tuple[tuple[int, int], ...] = (),
        pace: float | None = None,
    ) -> None:
        self._start = wall
        self._boot = boot
        self._naps = naps
        self._pace = pace
        self._passed = 0
        self._on_the_way: tuple[asyncio.TimerHandle, float] | None = None
        self._sleepers: list[SimulatedSleeper] = []
        self._beds: list[tuple[int, int, int, asyncio.Future[None]]] = []
        self._order = count()

    @property
    def passed(self) -> int:
        """Milliseconds gone by since the start."""
        if self._on_the_way is None or self._pace is None:
            return self._passed
        gone = asyncio.get_running_loop().time() - self._on_the_way[1]
        return min(self._passed + int(gone * self._pace * SECOND), self._beds[0][0])

    def read(self) -> Reading:
        """Look at every pretended clock at once."""
        passed = self.passed
        asleep = sum(min(end, passed) - begin for begin, end in self._naps if begin < passed)
        return Reading(
            wall=self._start + passed,
            counting=passed,
            running=passed - asleep,
            boot=self._boot,
        )

    def sleeper(self, rank: int) -> SimulatedSleeper:
        """Return a new sleeper for whom the clock will wait."""
        sleeper = SimulatedSleeper(self, rank)
        self._sleepers.append(sleeper)
        return sleeper

    def put_to_bed(self, bed: asyncio.Future[None], rank: int, span: int) -> None:
        """Note when the sleeper in `bed` is to rise, and jump if nobody is left awake."""
        due = self._after_nap(min(self.passed + span, _NEVER))
        heapq.heappush(self._beds, (due, rank, next(self._order), bed))
        self._jump_if_all_sleep()

    def forget(self, sleeper: SimulatedSleeper) -> None:
        """Take `sleeper` off the list of those waited for."""
        self._sleepers.remove(sleeper)
        self._jump_if_all_sleep()

    def stand_still(self) -> None:
        """Stop wherever the clock is on its way to: somebody is awake."""
        if self._on_the_way is not None:
            self._passed = self.passed
            self._on_the_way[0].cancel()
            self._on_the_way = None

    def _jump_if_all_sleep(self) -> None:
        if not all(sleeper.asleep for sleeper in self._sleepers):
            return
        # Whoever was woken before left an empty bed behind.
        while self._beds and self._beds[0][3].done():
            heapq.heappop(self._beds)
        if not self._beds or self._beds[0][0] >= _NEVER:
            return
        if self._pace is None:
            self._arrive()
        elif self._on_the_way is None:
            loop = asyncio.get_running_loop()
            delay = (self._beds[0][0] - self._passed) / SECOND / self._pace
            self._on_the_way = (loop.call_later(delay, self._arrive), loop.time())

    def _arrive(self) -> None:
        due, _, _, bed = heapq.heappop(self._beds)
        self._passed, self._on_the_way = due, None
        bed.set_result(None)

    def _after_nap(self, due: int) -> int:
        for begin, end in self._naps:
            if begin < due < end:
                return end
        return due
