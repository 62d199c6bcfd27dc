"""What is recorded around every event, from the first day on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.events import Mode  # noqa: TC001  # the codec reads these types
from readbell.core.instant import Instant  # noqa: TC001  # so too
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.board.event import Event

RULES = 1
"""Version of the reading rules; rises when the same bands would give another outcome."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """Where and when an event was recorded, and by what."""

    bay: str
    station: str
    mode: Mode
    program: str
    at: Instant
    """On the bay's own time line."""
    wall: int
    """UTC milliseconds, as the computer believed them."""
    counting: int
    """The clock that counts sleep, in milliseconds of this boot."""
    boot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """An event with everything that is kept with it."""

    id: str
    event: Event
    stamp: Stamp
    assay: str | None
    """Content hash of the assay it was judged by, where there is one."""
    rules: int = RULES
