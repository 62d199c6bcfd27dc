"""What the hand can see when something is given to it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from readbell.core.board.attention import by_attention
from readbell.phrases.whose import say_short

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.core.plan.answer import Answer
    from readbell.phrases.clock_time import ClockFace


@dataclass(frozen=True, slots=True, kw_only=True)
class AtHand:
    """An assay file at hand, adopted or not."""

    id: str
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """The board at one instant, and how its times are shown."""

    board: Board
    now: Instant
    face: ClockFace
    sounding: str | None = None
    """The cartridge whose alert may now be marked as heard."""
    shelf: Sequence[AtHand] = ()
    saves: bool = True
    """Whether what is new can be saved where it belongs."""
    outlook: Answer | None = None
    """When one more person may be begun; None: it is not worked out, or no assay is adopted."""
    page: int = 10
    """How many rows a page of the list has."""

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
