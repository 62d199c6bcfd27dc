"""What a wide screen has room for right of the axis: clock time, lines, place and party.

They take only the far end of the axis, so that the now-line and the scale are
where they were.
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.ui.at_rest import at_rest
from readbell.ui.track import Scale

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.phrases.board_words import Standing
    from readbell.phrases.clock_time import ClockFace
    from readbell.ui.measures import Axis, Columns

FROM_WIDTH = 118
LEAST_LEFT = 1140
"""Seconds ahead that they leave to the axis."""
BETWEEN = 2
ERASED = "erased"


class Extra(StrEnum):
    """What may stand there, the most wanted first; the value is the word above it."""

    CLOCK = "at"
    """The clock time that the figure counts to."""
    LINES = "lines"
    """The letters printed beside the test lines: which assay it is."""
    PLACE = "place"
    PARTY = "party"


WIDTHS: dict[Extra, int] = {Extra.CLOCK: 8, Extra.LINES: 5, Extra.PLACE: 7, Extra.PARTY: 10}


@dataclass(frozen=True, slots=True)
class Placed:
    """One of them and its columns."""

    extra: Extra
    column: int
    width: int


def extras(columns: Columns, board: Board) -> tuple[Placed, ...]:
    """Return what has room beside the axis, from left to right."""
    axis = columns.axis
    if axis is None or columns.width < FROM_WIDTH:
        return ()
    spare = axis.future + LEAST_LEFT // -axis.seconds_a_column
    chosen = []
    for extra in _wanted(board):
        taken = WIDTHS[extra] + BETWEEN
        if taken <= spare:
            chosen.append(extra)
            spare -= taken
    column = axis.column + axis.columns
    placed: list[Placed] = []
    for extra in reversed(chosen):
        column -= WIDTHS[extra]
        placed.insert(0, Placed(extra, column, WIDTHS[extra]))
        column -= BETWEEN
    return tuple(placed)


def scale_beside(axis: Axis, placed: tuple[Placed, ...]) -> Scale:
    """Return the scale that is left of the axis."""
    columns = placed[0].column - BETWEEN - axis.column if placed else axis.columns
    return Scale(seconds_a_column=axis.seconds_a_column, past=axis.past, columns=columns)


def extra_text(
    extra: Extra, cartridge: Cartridge, board: Board, stands: Standing, face: ClockFace
) -> str:
    """Return the words of one of them for `cartridge`."""
    match extra:
        case Extra.CLOCK:
            return clock_time(stands, face)
        case Extra.LINES:
            return lines_of(cartridge)
        case Extra.PLACE:
            place = cartridge.labelled.place
            return "" if place is None else place.value or ERASED
        case Extra.PARTY:
            party = board.party_of(cartridge.labelled.subject)
            return "" if party is None else board.name(party.key) or ERASED


def clock_time(stands: Standing, face: ClockFace) -> str:
    """Return the clock time the figure counts to: what opens rounded up, what closes down."""
    if stands.due is None:
        return ""
    return face.time(stands.due) if stands.is_last else face.time_from(stands.due)


def lines_of(cartridge: Cartridge) -> str:
    """Return the letters printed beside the test lines."""
    return "".join(each.mark for each in cartridge.assay.reading.lines)


def several_assays(board: Board) -> bool:
    """Say whether cartridges of more than one assay may lie on the bench."""
    return len({each.assay.id for each in board.assays.values()}) > 1


def _wanted(board: Board) -> list[Extra]:
    wanted = {
        Extra.CLOCK: True,
        Extra.LINES: several_assays(board),
        Extra.PLACE: at_rest(board).has_places,
        Extra.PARTY: bool(board.parties),
    }
    return [extra for extra, is_wanted in wanted.items() if is_wanted]
