"""The program as it runs on another computer: other clocks, and another run of the machine.

The first word says by how many milliseconds its wall clock is ahead of this computer's; what
counts since the start is hours off, as it is between any two computers.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

from readbell.cli.main import main
from readbell.clock import system

COUNTING_APART_NS = 5 * 3600 * 1_000_000_000


class OtherTime:
    """The module `time` as the program's clock asks it there."""

    CLOCK_BOOTTIME = time.CLOCK_BOOTTIME
    sleep = staticmethod(time.sleep)
    monotonic_ns = staticmethod(time.monotonic_ns)  # noqa: TID251  # it stands in for the clock's own

    def __init__(self, ahead: int) -> None:
        self._ahead = ahead * 1_000_000

    def time_ns(self) -> int:
        """Return the wall clock."""
        return time.time_ns() + self._ahead  # noqa: TID251  # it stands in for the clock's own

    def clock_gettime_ns(self, clock: int) -> int:
        """Return the clock that counts sleep."""
        return time.clock_gettime_ns(clock) + COUNTING_APART_NS


def run() -> int:
    """Run the program."""
    ahead, name, *words = sys.argv[1:]
    vars(system)["time"] = OtherTime(int(ahead))
    vars(system)["_BOOT_ID"] = Path(name)
    return main(words)


if __name__ == "__main__":
    sys.exit(run())
