"""A reading is held for review, released, or its result withdrawn; nothing is ever deleted."""

from __future__ import annotations

from readbell.core.instant import Instant
from readbell.core.made_later import dataclass
from readbell.core.private import Private
from readbell.core.review.reasons import HoldReason, WithdrawReason


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingHeld:
    """What was read of a cartridge, or will be, waits for a supervisor.

    It may fall while the cartridge runs: then it is about the reading to come.
    """

    at: Instant
    by: str | None
    """Whose act it came of; None: nobody who is registered."""
    cartridge: str
    reasons: tuple[HoldReason, ...]
    stated_name: Private | None = None
    """The name that somebody typed who could not sign in; readings name it by its key."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingReleased:
    """A supervisor has looked at what was held, and let the result stand."""

    at: Instant
    by: str
    cartridge: str
    reasons: tuple[HoldReason, ...]
    """All that it had been held for until then."""
    words: Private
    """Why, in the supervisor's own words."""
    own: bool
    """Own review: whoever released it had done the work, and nobody else works here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ResultWithdrawn:
    """A supervisor took a result back; what was seen stays, marked as withdrawn."""

    at: Instant
    by: str
    cartridge: str
    reason: WithdrawReason
    words: Private
    own: bool
    """Own review, as above."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MixUpFound:
    """People or devices were taken for one another; what was read of them was taken back.

    A result is never moved from one person to another: each of the people is told, and gives
    a new specimen.
    """

    at: Instant
    by: str
    cartridges: tuple[str, ...]
    """Opaque ids of all that was mixed up, taken back or void."""
    persons: tuple[str, ...]
    """Keys of the people concerned: those it was run for, and whoever else it may have been of."""
    reason: WithdrawReason
    own: bool


ReviewEvent = ReadingHeld | ReadingReleased | ResultWithdrawn
