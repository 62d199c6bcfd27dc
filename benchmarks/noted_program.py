"""The whole program, as `readbell` starts it, with two things added from outside.

It writes down when each alert had been recorded and was told; and its clocks can
be made to jump at a set instant, as a suspend or a hand at the wall clock would
make them. No line of the program is left out or changed for it.
"""

from __future__ import annotations

import json
import os
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

from readbell.cli.main import main
from readbell.cli.voice import Voice
from readbell.clock import system
from readbell.core.cartridge.events import AlertRaised

if TYPE_CHECKING:
    from readbell.bay.news import News

NOTES = "READBELL_NOTES"
"""Names the file to write to."""
JUMP = "READBELL_JUMP"
"""A jump: on which counting clock reading, and by how much counting and wall clock move."""


class JumpingTime:
    """The module `time` for the program's clock, with one jump in it."""

    CLOCK_BOOTTIME = time.CLOCK_BOOTTIME
    monotonic_ns = staticmethod(time.monotonic_ns)
    sleep = staticmethod(time.sleep)

    def __init__(self, at: int, counting: int, wall: int) -> None:
        self._at, self._counting, self._wall = at, counting, wall

    def time_ns(self) -> int:
        """Return the wall clock."""
        return time.time_ns() + (self._wall if self._jumped() else 0)

    def clock_gettime_ns(self, clock: int) -> int:
        """Return the clock that counts sleep."""
        return time.clock_gettime_ns(clock) + (self._counting if self._jumped() else 0)

    def _jumped(self) -> bool:
        return time.clock_gettime_ns(time.CLOCK_BOOTTIME) >= self._at


def run() -> int:
    """Run the program."""
    jump = os.environ.get(JUMP)
    clock = JumpingTime(*json.loads(jump)) if jump else time
    vars(system)["time"] = clock  # it has all that the program's clock asks of the module
    notes = Path(os.environ[NOTES]).open("a", encoding="ascii")  # noqa: SIM115  # until the end
    hear = Voice.hear

    def note(voice: Voice, news: News) -> None:
        told = clock.clock_gettime_ns(time.CLOCK_BOOTTIME)
        alerts = [(each.alert, each.due) for each in news.events if isinstance(each, AlertRaised)]
        if alerts:
            print(json.dumps({"told": told, "alerts": alerts}), file=notes, flush=True)
        hear(voice, news)

    Voice.hear = note  # type: ignore[method-assign,assignment]
    return main(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(run())
