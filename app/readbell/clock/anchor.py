"""The bay's time line: where a look at the clocks lies on it.

Within one run of the computer the line follows the counting clock and nothing
else. Across a restart it goes on by what the wall clock says has passed. After
a restart on which the wall clock cannot be right nothing is known of the time
between: it is taken as none at all, which makes every wait short, and the
cartridges that develop are unsure.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import Instant, Span
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.clock.clock import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """When something was recorded: on the bay's line, and on every clock."""

    at: Instant
    wall: int
    counting: int
    boot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Anchor:
    """Where the bay's line and the counting clock of one boot touch."""

    at: Instant
    counting: int
    sure: bool = True
    """False: how much time the restart took is not known."""

    def instant(self, reading: Reading) -> Instant:
        """Return where `reading` lies on the bay's line."""
        return Instant(self.at + reading.counting - self.counting)

    def moment(self, reading: Reading) -> Moment:
        """Return `reading` as it is recorded with an event."""
        return Moment(
            at=self.instant(reading),
            wall=reading.wall,
            counting=reading.counting,
            boot=reading.boot,
        )


def anchor(last: Moment | None, reading: Reading) -> Anchor:
    """Join the bay's line, as far as it was recorded, to the clocks as they are now.

    Args:
        last: when the last event was recorded; None for a new bay.
        reading: a look at the clocks now.
    """
    if last is None:
        return Anchor(at=Instant(reading.wall), counting=reading.counting)
    if last.boot == reading.boot:
        return Anchor(at=last.at, counting=last.counting)
    if reading.wall < last.wall or not reading.wall_is_known:
        return Anchor(at=last.at, counting=reading.counting, sure=False)
    away = Span(reading.wall - last.wall)
    return Anchor(at=Instant(last.at + away), counting=reading.counting)
