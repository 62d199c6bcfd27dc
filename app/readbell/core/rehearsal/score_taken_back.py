"""A step that was confirmed by mistake and taken back is a slip that was mended: no score knows it.

What is scored is what was done. The press that was wrong counts for nothing and against nobody,
as what came of it was taken back with it; how often it happened is said beside the score.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.cartridge.events import StepDone, StepTakenBack

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.event import Event


def without_taken_back(events: Sequence[Event]) -> tuple[Event, ...]:
    """Return `events` without the steps that were taken back later, and without that they were."""
    kept: list[Event] = []
    gone: list[tuple[str, str]] = []
    for event in reversed(events):
        if isinstance(event, StepTakenBack):
            gone += [(event.cartridge, step) for step in event.steps]
        elif isinstance(event, StepDone) and (event.cartridge, event.step) in gone:
            # Walked from the end: the press nearest before it is the one that was taken back.
            gone.remove((event.cartridge, event.step))
        else:
            kept.append(event)
    return tuple(reversed(kept))
