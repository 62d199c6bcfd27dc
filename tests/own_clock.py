"""The clocks of one computer of several: its wall clock is wrong, and its counting clock its own."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.clock.system import SystemClock

if TYPE_CHECKING:
    from readbell.clock.clock import Reading
    from readbell.clock.system import SystemSleeper


class OwnClock:
    """The clocks of this computer as those of another one would be.

    Args:
        wall: by how many milliseconds its wall clock is ahead.
        counting: how many it has counted more.
        boot: names its run; empty: the run of this computer.
    """

    def __init__(self, wall: int = 0, counting: int = 0, boot: str = "") -> None:
        self._clock = SystemClock()
        self.wall, self.counting, self._boot = wall, counting, boot

    def read(self) -> Reading:
        """Look at every clock at once."""
        found = self._clock.read()
        return replace(
            found,
            wall=found.wall + self.wall,
            counting=found.counting + self.counting,
            boot=self._boot or found.boot,
        )

    def sleeper(self, rank: int) -> SystemSleeper:
        """Return a new sleeper."""
        return self._clock.sleeper(rank)
