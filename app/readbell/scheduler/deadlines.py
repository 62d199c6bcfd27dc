"""Every pending deadline, one for each cartridge, in one heap of instants.

Only the next deadline of a cartridge is held: what follows it is worked out
from the cartridge's state when it has fallen. Those that fall due in one
millisecond share a place in the heap. An instant at which nothing falls due any
more stays behind there, and is passed over when it surfaces.
"""

from __future__ import annotations

import heapq
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from readbell.core.instant import Instant

_SMALLEST_SWEEP = 64


class Deadlines:
    """A queue of instants, each under a key of its own."""

    def __init__(self) -> None:
        self._due: dict[str, Instant] = {}
        # A set for each instant would cost more than all the rest, and most stand alone.
        self._at: dict[Instant, str | set[str]] = {}
        self._heap: list[Instant] = []

    def __len__(self) -> int:
        return len(self._due)

    def set(self, key: str, due: Instant) -> None:
        """Let `key` fall due at `due` and at no other instant."""
        if self._due.get(key) == due:
            return
        self.drop(key)
        self._due[key] = due
        there = self._at.get(due)
        if there is None:
            self._at[due] = key
            heapq.heappush(self._heap, due)
            self._sweep()
        elif isinstance(there, str):
            self._at[due] = {there, key}
        else:
            there.add(key)

    def drop(self, key: str) -> None:
        """Let `key` not fall due at all."""
        due = self._due.pop(key, None)
        if due is None:
            return
        there = self._at[due]
        if not isinstance(there, str):
            there.discard(key)
        if isinstance(there, str) or not there:
            del self._at[due]

    def next_due(self) -> Instant | None:
        """Return the earliest instant at which something falls due."""
        while self._heap and self._heap[0] not in self._at:
            heapq.heappop(self._heap)
        return self._heap[0] if self._heap else None

    def take(self, until: Instant) -> list[str]:
        """Take out and return the keys due at `until` or before, the earliest first."""
        found: list[str] = []
        while self._heap and self._heap[0] <= until:
            there = self._at.pop(heapq.heappop(self._heap), None)
            if there is not None:
                keys = [there] if isinstance(there, str) else sorted(there)
                found.extend(keys)
                for key in keys:
                    del self._due[key]
        return found

    def _sweep(self) -> None:
        # Old instants never outnumber the living by much, or memory would grow all day.
        if len(self._heap) > _SMALLEST_SWEEP + 2 * len(self._due):
            self._heap = list(self._at)
            heapq.heapify(self._heap)
