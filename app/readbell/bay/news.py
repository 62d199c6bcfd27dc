"""What a bay tells those who listen: values they may keep, never parts they could change."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from readbell.core.board.record_check import UNCHECKED, RecordCheck
from readbell.core.board.sound import Sounding
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from readbell.bay.around import Around
    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.cartridge.events import AlertRaised
    from readbell.core.instant import Instant, Span
    from readbell.core.refusal import Refusal
    from readbell.journal.keeper import Branch, NotSaved

UNKNOWN = Sounding()
"""What an onlooker knows of the alarm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class News:
    """What has just happened, already on the disk, and the board it led to."""

    board: Board
    events: tuple[Event, ...]
    at: Instant
    """When it was told, on the bay's time line."""
    wall: int
    """The same on the wall clock, UTC milliseconds."""
    not_saved: NotSaved | None
    sounding: Sounding = UNKNOWN
    """How the alarm of this computer is doing."""
    record_check: RecordCheck = UNCHECKED
    """Whether the whole record was checked since the program was started."""
    is_elsewhere: bool = False
    """Whether the events were recorded by other stations of a shared bay."""
    around: Around | None = None
    """Who else is here, and whether this station is alone; None: nobody shares this bay."""
    lost_since: Instant | None = None
    """Since when an onlooker follows no more, for the link to the server is lost; None: it follows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What became of an act."""

    at: Instant
    refusal: Refusal | None
    events: tuple[Event, ...]
    """What the act made happen; for a refusal, the near miss alone."""
    board: Board
    """As it was after the act."""

    @property
    def accepted(self) -> bool:
        """Whether the act was taken."""
        return self.refusal is None


@dataclass(frozen=True, slots=True, kw_only=True)
class Return:
    """What is told first when a bay is taken up again."""

    is_new: bool
    clean: bool
    away: Span
    fell_due: tuple[AlertRaised, ...]
    """Every alert that fell while nobody watched."""
    unsure: tuple[str, ...]
    branches: tuple[Branch, ...]
    new_station: str = ""
    """The station of a shared bay that this is, if it never was one before."""


Listener = Callable[[News], None]
