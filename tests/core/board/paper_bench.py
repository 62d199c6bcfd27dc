"""A run as it stands on paper, and what comes of it once it is entered."""

from __future__ import annotations

from typing import TYPE_CHECKING

from builders import NEGATIVE, TODAY, Bench, at, span
from readbell.core.paper.acts import EnterPaperRun
from readbell.core.paper.events import PaperRunEntered

if TYPE_CHECKING:
    from readbell.core.reading.bands import Bands

TIMES = {
    "label": "0:00",
    "buffer": "0:30",
    "collect": "1:00",
    "extract": "2:00",
    "withdraw": "4:00",
    "apply": "5:00",
}
LATER = "60:00"


def run(
    read: str = "22:00", *, doubt: str = "0:00", seen: Bands = NEGATIVE, **times: str
) -> EnterPaperRun:
    """A run as it stands on paper; the window is open from 20:00 to 25:00."""
    steps = {**TIMES, **times}
    return EnterPaperRun(
        by="op-1",
        new_id="paper-1",
        operator="op-1",
        witness="op-2",
        label="C31",
        person="P-001",
        lot="L-100",
        steps=tuple((key, at(said)) for key, said in steps.items()),
        read=at(read),
        give_or_take=span(doubt),
        bands=seen,
        today=TODAY,
        day_began=at("0:00"),
    )


def entered(act: EnterPaperRun, bench: Bench | None = None, now: str = LATER) -> PaperRunEntered:
    """What comes of it."""
    (event,) = (bench or Bench()).must(act, now)
    assert isinstance(event, PaperRunEntered)
    return event
