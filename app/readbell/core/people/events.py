"""Operators and persons become known to the bay."""

from __future__ import annotations

from dataclasses import dataclass

from readbell.core.instant import Instant
from readbell.core.private import Private


@dataclass(frozen=True, slots=True, kw_only=True)
class OperatorRegistered:
    """Somebody may act here; other events name them by the key alone."""

    at: Instant
    by: str | None
    operator: Private


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonRegistered:
    """Somebody is here to be tested; other events name them by the key alone."""

    at: Instant
    by: str | None
    person: Private


@dataclass(frozen=True, slots=True, kw_only=True)
class PartyRegistered:
    """People came together; its name may be erased as a person's may."""

    at: Instant
    by: str | None
    party: Private
    persons: tuple[str, ...]
    """Keys of the persons, in the order in which they are to be tested."""
