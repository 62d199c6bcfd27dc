"""Which rows of the terminal are to be sent whole: those of which nobody knows what stands there."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from textual.geometry import Size

TORN_TICKS = 3
"""So many ticks more, a second apart at most, all of it is painted once a window has changed: a
system may say so before it has the new size, and a terminal may clear itself after it."""
HEALED_IN = 20
"""Seconds in which each row is sent anew, a few at a time: a message of the system or another
program may have written over it, and no word comes of that."""
MOST_HEALED = 4
"""Rows at once: of a window higher than 80 rows it takes longer, or they would be half of all that is sent."""
BETWEEN_HEALINGS = 0.5
"""Seconds at least: a rehearsal may tick many times as fast as a clock."""


class Torn:
    """What of the picture is torn, or may be."""

    def __init__(self) -> None:
        self._all = False
        self._ticks = 0
        self._heals = range(0)
        self._healed_at = float("-inf")
        self._painted_for: Size | None = None

    def tear(self) -> None:
        """Take note that what stood on the terminal is no longer known."""
        self._all, self._ticks = True, TORN_TICKS

    def tick(self, height: int, at: float) -> None:
        """Take note that a second is over.

        Args:
            height: rows of the picture.
            at: seconds of a running clock.
        """
        if self._ticks:
            self._ticks -= 1
            self._all = True
        # The next few only once those before them were sent.
        if not self._heals and at - self._healed_at > BETWEEN_HEALINGS:
            self._healed_at = at
            begin = self._heals.stop if self._heals.stop < height else 0
            self._heals = range(begin, begin + min(-(-height // HEALED_IN), MOST_HEALED))

    def paint(self, size: Size) -> range:
        """Return the rows that a picture of `size` has to send whole, as it is sent now."""
        # The word of another size may come after this: what is painted for one is torn by the next.
        torn = self._all or self._painted_for not in {None, size}
        rows = range(size.height) if torn else self._heals
        self._all, self._painted_for = False, size
        self._heals = range(rows.stop, rows.stop)
        return rows

    def library_paints(self, size: Size) -> None:
        """Take note that the first picture is the library's, of a window of `size`."""
        self._painted_for = size
