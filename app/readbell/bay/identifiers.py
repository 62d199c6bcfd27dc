"""Where opaque ids and salts come from: chance in a live bay, the script in a rehearsal."""

from __future__ import annotations

import hashlib
import secrets
from itertools import count
from typing import Protocol

BYTES = 12


class Identifiers(Protocol):
    """A source of ids that never gives the same one twice."""

    def new(self, kind: str) -> str:
        """Return a fresh id; `kind` is its first word."""


class RandomIdentifiers:
    """Ids nobody can guess."""

    def new(self, kind: str) -> str:
        """Return a fresh id."""
        return f"{kind}-{secrets.token_hex(BYTES)}"


class DerivedIdentifiers:
    """Ids that follow from a text, so that one script always gives one journal."""

    def __init__(self, digest: bytes) -> None:
        self._digest = digest
        self._count = count()

    def new(self, kind: str) -> str:
        """Return the next id."""
        seed = self._digest + next(self._count).to_bytes(8, "big")
        return f"{kind}-{hashlib.sha256(seed).hexdigest()[: 2 * BYTES]}"
