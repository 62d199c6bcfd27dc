"""Where opaque ids and salts come from: chance in a live bay, the script in a rehearsal."""

from __future__ import annotations

import hashlib
import secrets
from itertools import count
from typing import Protocol

BYTES = 12
AT_ONCE = 64


class Identifiers(Protocol):
    """A source of ids that never gives the same one twice."""

    def new(self, kind: str) -> str:
        """Return a fresh id; `kind` is its first word."""


class RandomIdentifiers:
    """Ids nobody can guess.

    Chance is asked of the system for many of them at once: each time it is asked costs as
    much as a few ids, and hundreds may be wanted while somebody waits for an alarm.
    """

    def __init__(self) -> None:
        self._left: list[str] = []

    def new(self, kind: str) -> str:
        """Return a fresh id; whichever thread asks."""
        while True:
            try:
                return f"{kind}-{self._left.pop()}"
            except IndexError:  # the last one is gone, or somebody else took it meanwhile
                drawn = secrets.token_hex(AT_ONCE * BYTES)
                self._left = [drawn[at : at + 2 * BYTES] for at in range(0, len(drawn), 2 * BYTES)]


class DerivedIdentifiers:
    """Ids that follow from a text, so that one script always gives one journal."""

    def __init__(self, digest: bytes) -> None:
        self._digest = digest
        self._count = count()

    def new(self, kind: str) -> str:
        """Return the next id."""
        seed = self._digest + next(self._count).to_bytes(8, "big")
        return f"{kind}-{hashlib.sha256(seed).hexdigest()[: 2 * BYTES]}"
