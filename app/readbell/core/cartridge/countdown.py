"""The one figure to show for a cartridge: towards what the time runs, and until when."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import stage_at, window
from readbell.core.cartridge.stage import Stage
from readbell.core.instant import Instant, whole_seconds_left
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.cartridge.cartridge import Cartridge


class Towards(StrEnum):
    """What happens when a countdown comes to nothing."""

    WAIT_OVER = "wait-over"
    OVERDUE = "overdue"
    OPENS = "opens"
    CLOSES = "closes"
    LAPSED = "lapsed"
    """It has happened: the figure counts up since then."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Countdown:
    """A running figure: a function of this value and of now, whoever paints it."""

    towards: Towards
    due: Instant

    def seconds_left(self, now: Instant) -> int:
        """Return whole seconds, rounded up; negative once `due` is past."""
        return whole_seconds_left(now, self.due)


def countdown(cartridge: Cartridge, now: Instant) -> Countdown | None:
    """Return what to count for `cartridge` at `now`, or None if no time runs."""
    span = window(cartridge)
    if span is None:
        return next(_waits(cartridge, now), None)
    match stage_at(cartridge, now):
        case Stage.DEVELOPING if now < span.opens:
            return Countdown(towards=Towards.OPENS, due=span.opens)
        case Stage.READ_WINDOW | Stage.CLOSING if span.closes is not None:
            return Countdown(towards=Towards.CLOSES, due=span.closes)
        case Stage.LAPSED if span.closes is not None:
            return Countdown(towards=Towards.LAPSED, due=span.closes)
        case _:
            return None


def _waits(cartridge: Cartridge, now: Instant) -> Iterator[Countdown]:
    """Yield what the running waits count towards, the wait that is not over first."""
    running = cartridge.running_waits
    for wait in running:
        if now < wait.over:
            yield Countdown(towards=Towards.WAIT_OVER, due=wait.over)
    limits = [wait.limit for wait in running if wait.limit is not None]
    if limits:
        yield Countdown(towards=Towards.OVERDUE, due=min(limits))
