"""What a clock must offer, and what one look at it says.

Three clocks run in every computer. The wall clock is what people read, and
people move it. The running clock stops while the computer sleeps. The counting
clock does neither, so elapsed time comes from it; the other two are kept beside
it to notice when something happened that people should know.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.core.instant import Span

LONGEST_STRETCH_SECONDS = 1.0
"""No sleep is longer: after a suspend the next look at the clock comes this soon."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One look at every clock, in whole milliseconds."""

    wall: int
    """UTC since 1970, as the computer believes it."""
    counting: int
    """Since the computer started, time asleep included."""
    running: int
    """Since some fixed point, time asleep left out."""
    boot: str
    """Names this run of the computer; counting readings compare within one only."""
    wall_is_known: bool = True
    """False where the system itself says its wall clock was not set right."""


class Sleeper(Protocol):
    """Somebody who waits on a clock and can be woken early."""

    async def sleep(self, span: Span | None) -> None:
        """Wait for `span` at most, None for no end; may return early, so ask again."""

    def wake(self) -> None:
        """End the present sleep, or else the next one, at once."""

    def retire(self) -> None:
        """Never sleep again."""


class Clock(Protocol):
    """The source of time for a bay."""

    def read(self) -> Reading:
        """Look at every clock at once."""

    def sleeper(self, rank: int) -> Sleeper:
        """Return a new sleeper; of two that are due together the lower rank goes first."""
