"""Identifiers and free text, kept apart so that they can be erased later.

A chained event must never change, yet a person may ask to be forgotten. So the
chain holds only a random key and a salted digest; the value lies beside it and
can go while the chain stays whole.
"""

from __future__ import annotations

from dataclasses import field

from readbell.core.made_later import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Private:
    """A value that identifies somebody; its text never appears in a `repr`."""

    key: str
    """Opaque and random; the only part other events refer to."""
    salt: str = field(repr=False)
    """Random, so that a short value cannot be guessed from its digest."""
    value: str | None = field(repr=False)
    """What was entered, or None once it has been erased."""
