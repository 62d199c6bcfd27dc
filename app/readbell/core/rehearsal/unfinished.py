"""What was still to come or to be done when an attempt was left.

Whoever goes home at half-time has made no mistake in the other half, so the figures alone would
speak for them. An attempt that played itself is at its end when it says so.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.events import Ending, ProgramStopped
from readbell.core.instant import later
from readbell.core.made_later import dataclass
from readbell.core.rehearsal.score_people import owed_still, untested

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.core.rehearsal.scenario import Scenario


@dataclass(frozen=True, slots=True, kw_only=True)
class Unfinished:
    """How much of each kind there was."""

    to_come: int = 0
    """People who had not come yet."""
    untested: int = 0
    """People who had come, and for whom nothing was begun."""
    running: int = 0
    """Cartridges on which something was still to be done."""
    repeats: int = 0
    """Repeats that nobody had begun."""
    breaks: int = 0
    """Interruptions that had not come yet, or were not over."""

    @property
    def count(self) -> int:
        """How many there were of all kinds; 0: it was played to its end."""
        return self.to_come + self.untested + self.running + self.repeats + self.breaks


def unfinished(
    scenario: Scenario, board: Board, events: Sequence[Event], starts: Instant, ends: Instant
) -> Unfinished:
    """Return what was unfinished when the attempt in `events` ended.

    Args:
        scenario: what was played.
        board: what the record adds up to.
        events: all of it, in order.
        starts: when it began.
        ends: when it was left.
    """
    last = events[-1] if events else None
    if isinstance(last, ProgramStopped) and last.why is Ending.SCENARIO_ENDED:
        return Unfinished()
    breaks = (each.at if each.until is None else each.until for each in scenario.interruptions)
    return Unfinished(
        to_come=sum(later(starts, each.arrives) > ends for each in scenario.persons),
        untested=sum(1 for _ in untested(scenario, board, starts, ends)),
        running=len(board.running),
        repeats=sum(1 for _ in owed_still(scenario, board)),
        breaks=sum(later(starts, each) > ends for each in breaks),
    )
