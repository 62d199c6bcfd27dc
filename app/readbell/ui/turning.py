"""At which instants read windows open and close, and how many are open between."""

from __future__ import annotations

from bisect import bisect_left
from itertools import accumulate
from typing import TYPE_CHECKING

from readbell.core.instant import MINUTE

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readbell.core.cartridge.window import Window
    from readbell.core.instant import Instant

_CLOSES, _OPENS = -1, 1
"""At one instant the close goes first: it frees a reader."""


class Turning:
    """The turns of some windows, counted once; then any stretch of time is asked at little cost."""

    def __init__(self, windows: Iterable[Window]) -> None:
        turns: list[tuple[int, int]] = []
        for span in windows:
            turns.append((span.opens, _OPENS))
            if span.lapses is not None:
                turns.append((span.lapses, _CLOSES))
        self._turns = sorted(turns)
        self._open = list(accumulate((each for _, each in self._turns), initial=0))
        """How many are open after so many turns."""

    def most_in_each(self, now: Instant, minutes: int) -> tuple[int, ...]:
        """Return for each minute from `now` on how many windows are open at once at most in it."""
        most = []
        for minute in range(minutes):
            begins = now + minute * MINUTE
            # What closes as the minute begins is open in it no more; what opens then is.
            first = bisect_left(self._turns, (begins, _OPENS))
            last = bisect_left(self._turns, (begins + MINUTE, _CLOSES))
            most.append(max(self._open[first : last + 1]))
        return tuple(most)
