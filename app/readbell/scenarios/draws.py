"""Chance that follows from a seed alone, the same on every computer and with every library."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence


class Draws:
    """Chance that follows from a seed and a name."""

    def __init__(self, seed: int, name: str) -> None:
        self._name = f"{seed}/{name}"
        self._count = 0

    def below(self, limit: int) -> int:
        """Return a whole number from 0 up to but not including `limit`."""
        self._count += 1
        found = hashlib.sha256(f"{self._name}/{self._count}".encode()).digest()
        return int.from_bytes(found[:8], "big") % limit

    def between(self, least: int, most: int) -> int:
        """Return a whole number from `least` to `most`."""
        return least + self.below(most - least + 1)

    def yes(self, of_hundred: int) -> bool:
        """Return yes so many times of a hundred."""
        return self.below(100) < of_hundred

    def shuffled(self, found: Sequence[int]) -> list[int]:
        """Return `found` in any order."""
        left = list(found)
        return [left.pop(self.below(len(left))) for _ in found]
