"""Which shift runs, and which labels the ones before it have given back."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

from readbell.core.made_later import dataclass
from readbell.core.shift.events import DaySheetSigned, ShiftClosed, ShiftEvent, ShiftOpened

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """One shift, as far as it has come."""

    opened: ShiftOpened
    closed: ShiftClosed | None = None

    @property
    def number(self) -> int:
        """Its number, from 1 on."""
        return self.opened.number


@dataclass(frozen=True, slots=True, kw_only=True)
class ShiftBook:
    """What is known of shifts; those that were signed are left to the record."""

    count: int = 0
    """How many were opened."""
    running: Shift | None = None
    last: Shift | None = None
    """The last one that was closed."""
    unsigned: tuple[Shift, ...] = ()
    """Closed, and signed by nobody yet."""
    freed: int = 0
    """Cartridges up to this one, in the order of labelling, have given their labels back."""
    kept: frozenset[str] = frozenset()
    """Opaque ids of those among them that ran over the border, and did not."""

    def is_free(self, cartridge: Cartridge) -> bool:
        """Say whether `cartridge` has given its label back: it had ended when a shift was closed."""
        return cartridge.ordinal <= self.freed and cartridge.id not in self.kept

    @property
    def since(self) -> Instant | None:
        """When the running shift began; None: none runs."""
        return None if self.running is None else self.running.opened.at


NO_SHIFT = ShiftBook()
"""No shift was ever opened: labels are unique in the whole record."""


def fold_shift(
    book: ShiftBook, event: ShiftEvent, begun: int, running: frozenset[str]
) -> ShiftBook:
    """Return what is known once `event` is.

    Args:
        book: what was known before.
        event: what happened.
        begun: how many cartridges were labelled so far.
        running: the opaque ids of those that run.
    """
    match event:
        case ShiftOpened():
            return replace(book, count=event.number, running=Shift(opened=event))
        case ShiftClosed():
            if book.running is None:
                return book  # it says what it says; nothing of it could be undone
            closed = replace(book.running, closed=event)
            return replace(
                book,
                running=None,
                last=closed,
                unsigned=(*book.unsigned, closed),
                freed=begun,
                kept=running,
            )
        case DaySheetSigned():
            left = tuple(each for each in book.unsigned if each.number != event.number)
            return replace(book, unsigned=left)
        case _:
            assert_never(event)
