"""All that came of one act, in one line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.climate.events import TemperatureNoted
from readbell.core.controls.events import SampleJudged
from readbell.core.review.events import ReadingHeld
from readbell.core.stock.events import LotCorrected, LotRecalled
from readbell.phrases.of_bay import tell

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.phrases.clock_time import ClockFace

NAMES_WHAT_IS_HELD = (LotRecalled, LotCorrected, SampleJudged, TemperatureNoted)
"""Of a hundred results that wait for one reason the reason is told once, with their labels."""


def tell_all(events: Sequence[Event], board: Board, face: ClockFace) -> str:
    """Return the words for `events`, one after the other; `board` is as it is after them."""
    told_already = any(isinstance(each, NAMES_WHAT_IS_HELD) for each in events)
    said = (
        tell(each, board, face)
        for each in events
        if not (told_already and isinstance(each, ReadingHeld))
    )
    return " ".join(said).strip()
