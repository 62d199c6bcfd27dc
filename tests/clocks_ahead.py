"""The program as it runs some time from now: every clock of this computer is further on.

How far stands in a file, and may be changed while it runs: that time is gone by for the program, and
for nobody else. A test that slept until a window opens or is passed would need windows so short that
a busy machine closes them before the test is where it wanted to be.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

SECOND_NS = 1_000_000_000


class Ahead:
    """The module `time` as the program's clock asks it then."""

    CLOCK_BOOTTIME = time.CLOCK_BOOTTIME
    sleep = staticmethod(time.sleep)

    def __init__(self, file: Path) -> None:
        self._file = file

    def time_ns(self) -> int:
        """Return the wall clock."""
        return time.time_ns() + self._ahead  # noqa: TID251  # it stands in for the clock's own

    def monotonic_ns(self) -> int:
        """Return the running clock."""
        return time.monotonic_ns() + self._ahead  # noqa: TID251  # it stands in for the clock's own

    def clock_gettime_ns(self, clock: int) -> int:
        """Return the clock that counts sleep."""
        return time.clock_gettime_ns(clock) + self._ahead

    @property
    def _ahead(self) -> int:
        return int(self._file.read_text("ascii")) * SECOND_NS


def program(file: Path, seconds: int = 0) -> tuple[str, ...]:
    """Return how the program is started whose clocks are ahead by what stands in `file`."""
    put_ahead(file, seconds)
    return (sys.executable, str(Path(__file__)), str(file))


def put_ahead(file: Path, seconds: int) -> None:
    """Have the clocks of whoever runs by `file` so many seconds ahead from now on."""
    part = file.with_name(f"{file.name}.part")
    part.write_text(str(seconds), "ascii")
    part.replace(file)


def run() -> int:
    """Run the program."""
    from readbell.cli.main import main
    from readbell.clock import system

    file, *words = sys.argv[1:]
    vars(system)["time"] = Ahead(Path(file))
    return main(words)


if __name__ == "__main__":
    sys.exit(run())
