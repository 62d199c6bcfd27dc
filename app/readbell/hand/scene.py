"""What the hand can see when something is given to it."""

from __future__ import annotations

from dataclasses import field, replace
from typing import TYPE_CHECKING

from readbell.bay.site_time import day_began
from readbell.core.board.attention import by_attention
from readbell.core.board.stations import label_prefix
from readbell.core.made_later import dataclass
from readbell.phrases.whose import say_short

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from readbell.bay.around import Around
    from readbell.bay.figures_beside import FiguresBeside
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.figures.week import Week
    from readbell.core.instant import Instant
    from readbell.core.plan.answer import Answer
    from readbell.core.plan.answer_state import AnswerState
    from readbell.phrases.clock_time import ClockFace


@dataclass(frozen=True, slots=True, kw_only=True)
class AtHand:
    """An assay file at hand, adopted or not."""

    id: str
    title: str
    figures: tuple[str, ...] = ()
    """What is held against the kit's instructions before it is adopted, a line each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """The board at one instant, and how its times are shown."""

    board: Board
    now: Instant
    face: ClockFace
    acting: str | None = None
    """ID of whoever acts; None: nobody said who they are."""
    sounding: str | None = None
    """The cartridge whose alert may now be marked as heard."""
    shelf: Sequence[AtHand] = ()
    saves: bool = True
    """Whether what is new can be saved where it belongs."""
    outlook: Answer | None = None
    """When one more person may be begun, as it was worked out last; None: there is no answer."""
    outlook_state: AnswerState | None = None
    """How it stands to this board; None: it was made for it, or nobody works it out here."""
    look_ahead: Callable[[Board], Answer | None] | None = field(default=None, compare=False)
    """Works it out for a board at this instant, if need be; never to be waited for by a picture."""
    week: Week | None = None
    """What this week has come to; None: nobody looks, or it is being counted."""
    figures: FiguresBeside | None = field(default=None, compare=False)
    """Counts all the figures of the record beside the board; None: nothing does here."""
    page: int = 10
    """How many rows a page of the list has."""
    around: Around | None = None
    """Who else is here, and whether this station is alone; None: nobody shares this bay."""

    @property
    def label_begins(self) -> str:
        """What a label begins with that is proposed here: the station's mark, while it is alone."""
        return "" if self.around is None else label_prefix(self.board, self.around.here)

    @property
    def day_began(self) -> Instant:
        """When the calendar day of the site began."""
        return day_began(self.now, self.face.wall(self.now), self.face.zone)

    def looked_ahead(self, box: str | None = None) -> Answer | None:
        """Return when one more person may be begun from here, worked out now if it has to be.

        They are begun from the lot `box`; None: from the one in front.
        """
        if self.look_ahead is None:
            return self.outlook
        in_front = box in (None, self.board.open_lot)
        return self.look_ahead(self.board if in_front else replace(self.board, open_lot=box))

    def cartridge(self, cartridge_id: str | None) -> Cartridge | None:
        """Return the cartridge with this opaque id, running or ended."""
        return None if cartridge_id is None else self.board.cartridge(cartridge_id)

    def in_order(self) -> list[Cartridge]:
        """Return the running cartridges, the most urgent first."""
        return by_attention(self.board, self.now)

    def person_of(self, cartridge: Cartridge) -> str:
        """Return the ID of the person a cartridge is run for, or which control sample it is."""
        sample = say_short(cartridge, self.board)
        return sample or self.board.name(cartridge.labelled.subject) or "erased"
