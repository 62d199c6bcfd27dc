"""Every pending deadline in one heap, one entry for each cartridge.

Only the next deadline of a cartridge is held: what follows it is worked out
from the cartridge's state when it has fallen. A deadline that is moved or taken
back leaves its old entry behind, which is passed over when it surfaces.
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
        self._heap: list[tuple[Instant, str]] = []

    def __len__(self) -> int:
        return len(self._due)

    def set(self, key: str, due: Instant) -> None:
        """Let `key` fall due at `due` and at no other instant."""
        if self._due.get(key) != due:
            self._due[key] = due
            heapq.heappush(self._heap, (due, key))
            self._sweep()

    def drop(self, key: str) -> None:
        """Let `key` not fall due at all."""
        self._due.pop(key, None)

    def next_due(self) -> Instant | None:
        """Return the earliest instant at which something falls due."""
        while self._heap and self._is_stale(self._heap[0]):
            heapq.heappop(self._heap)
        return self._heap[0][0] if self._heap else None

    def take(self, until: Instant) -> list[str]:
        """Take out and return the keys due at `until` or before, the earliest first."""
        found = []
        while self._heap and self._heap[0][0] <= until:
            entry = heapq.heappop(self._heap)
            if not self._is_stale(entry):
                found.append(entry[1])
                del self._due[entry[1]]
        return found

    def _is_stale(self, entry: tuple[Instant, str]) -> bool:
        return self._due.get(entry[1]) != entry[0]

    def _sweep(self) -> None:
        # Old entries never outnumber the living by much, or memory would grow all day.
        if len(self._heap) > _SMALLEST_SWEEP + 2 * len(self._due):
            self._heap = [(due, key) for key, due in self._due.items()]
            heapq.heapify(self._heap)
