"""The shifts of a record: all of them in a row, or one as it stood when it was closed."""

from __future__ import annotations

from typing import TYPE_CHECKING, get_args

from readbell.core.board.events import ClockJumped
from readbell.core.board.fold import replay
from readbell.core.made_later import dataclass
from readbell.core.shift.book import Shift
from readbell.core.shift.events import DaySheetSigned, ShiftClosed, ShiftEvent, ShiftOpened
from readbell.journal.codec import decode_each
from readbell.journal.verify import chained, no_collection

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.event import Event
    from readbell.core.instant import Instant
    from readbell.journal.record import Head
    from readbell.journal.source import Source

    Jumps = tuple[tuple[Instant, int], ...]

_MARKS = ("shift-", "day-sheet-", "clock-jumped")
"""Stands in every event that is asked about here: of the others none has to be decoded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptShift:
    """One shift of a record."""

    shift: Shift
    signed: DaySheetSigned | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ShiftAsItStood:
    """One shift with the board as it was at its end."""

    kept: KeptShift
    board: Board
    events: tuple[Event, ...]
    """All that happened in it."""
    head: Head
    """The event it ends with: its closing, or the last one on record."""


def shifts_kept(journal: Source) -> dict[int, KeptShift]:
    """Return every shift by its number, the first first.

    Raises:
        BrokenChainError: an event does not follow from the one before.
    """
    return shifts_and_jumps(journal)[0]


def shifts_and_jumps(journal: Source) -> tuple[dict[int, KeptShift], Jumps]:
    """Return every shift by its number, and when the wall clock went how much further.

    Raises:
        BrokenChainError: an event does not follow from the one before.
    """
    found: dict[int, KeptShift] = {}
    jumps: list[tuple[Instant, int]] = []
    marked = (each for each in chained(journal) if any(mark in each.body for mark in _MARKS))
    for envelope in decode_each(marked, journal.private):
        match envelope.event:
            case ShiftOpened() as event:
                found[event.number] = KeptShift(shift=Shift(opened=event), signed=None)
            case ShiftClosed() as event:
                opened = found[event.number].shift.opened
                found[event.number] = KeptShift(
                    shift=Shift(opened=opened, closed=event), signed=None
                )
            case DaySheetSigned() as event:
                found[event.number] = KeptShift(shift=found[event.number].shift, signed=event)
            case ClockJumped() as event:
                jumps.append((event.at, event.by_span))
            case _:
                pass
    return found, tuple(sorted(jumps))


def as_it_stood(journal: Source, kept: KeptShift) -> ShiftAsItStood:
    """Return a shift with the board at its end.

    Raises:
        BrokenChainError: an event does not follow from the one before, or makes no sense.
    """
    number = kept.shift.number
    events: list[Event] = []
    heads: list[Head] = []

    def until_closed() -> Iterator[Event]:
        inside = False
        for record in chained(journal):
            (envelope,) = decode_each((record,), journal.private)
            event = envelope.event
            inside = inside or (isinstance(event, ShiftOpened) and event.number == number)
            if inside:
                events.append(event)
            heads[:] = [record.head]
            yield event
            if isinstance(event, ShiftClosed) and event.number == number:
                return

    with no_collection():
        board = replay(until_closed())
    within = tuple(each for each in events if not isinstance(each, get_args(ShiftEvent)))
    return ShiftAsItStood(kept=kept, board=board, events=within, head=heads[-1])
