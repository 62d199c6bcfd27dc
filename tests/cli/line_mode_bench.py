"""News from a bench, and what people read of it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from builders import START, Bench, span
from readbell.bay.news import News, Return
from readbell.core.cartridge.events import AlertKind, AlertRaised
from readbell.journal.keeper import NotSaved

if TYPE_CHECKING:
    from readbell.bay.around import Around
    from readbell.cli.line_mode import LineMode
    from readbell.core.board.event import Event


RETURN = Return(is_new=False, clean=True, away=span("4:10"), fell_due=(), unsure=(), branches=())
FULL = NotSaved(why="the disk is full", continuation=Path("beside"))


def news(
    bench: Bench,
    *events: Event,
    not_saved: NotSaved | None = None,
    around: Around | None = None,
) -> News:
    """News from a bench, whose wall clock is 6:40 ahead: its start reads 01:00:00."""
    return News(
        board=bench.board,
        events=events,
        at=START,
        wall=START + span("6:40"),
        not_saved=not_saved,
        around=around,
    )


def words(voice: LineMode, told: News) -> list[str]:
    """What people read of some news."""
    return [each.words for each in voice.news(told)]


def alert() -> AlertRaised:
    """A bell for C1."""
    return AlertRaised(at=START, cartridge="id-C1", alert=AlertKind.READ_NOW, due=START, step="")
