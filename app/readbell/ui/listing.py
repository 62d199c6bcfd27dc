"""The list of cartridges below its axis; of a thousand only the rows in sight are made."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from readbell.core.board.to_repeat import lately_lapsed
from readbell.core.instant import MINUTE, SECOND
from readbell.core.made_later import dataclass
from readbell.phrases.board_words import standing, uncalled
from readbell.ui.at_rest import at_rest, order_at
from readbell.ui.extras import extras, scale_beside
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.row import Shared, empty_row
from readbell.ui.rows_kept import rows_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.stations import Here
    from readbell.core.cartridge.cartridge import Cartridge
    from readbell.core.instant import Instant
    from readbell.phrases.clock_time import ClockFace
    from readbell.ui.glyphs import Glyphs
    from readbell.ui.measures import Columns
    from readbell.ui.track import Scale

LAPSED_ON_TOP = 5
"""So many lapsed rows at most stand before those that run (our own choice)."""
ABOVE, PAGE_UP, PAGE_DOWN = "more above", "PgUp", "PgDn"
"""What is out of sight, and by which key it comes in sight; each can be clicked."""
LABELLED_EVERY = 5
"""Minutes between two labels of the axis."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pointed:
    """What in the list somebody or something points at."""

    chosen: str | None = None
    """Opaque id of the chosen cartridge."""
    flashing: frozenset[str] = field(default_factory=frozenset)
    """Opaque ids of those whose fill is swapped this second."""


NOTHING = Pointed()


def listing(
    board: Board,
    now: Instant,
    columns: Columns,
    glyphs: Glyphs,
    *,
    face: ClockFace,
    rows: int,
    top: int = 0,
    pointed: Pointed = NOTHING,
    masked: bool = False,
    calls: bool = True,
    here: Here | None = None,
) -> tuple[Line, ...]:
    """Return the head of the list and exactly `rows` rows below it.

    Where there are more cartridges than rows, the last row says how many are out
    of sight, and when the first of those below falls due; unless it `calls` nothing,
    as in an examination.
    """
    every = in_order(board, now)
    fits = rows_in_sight(len(every), rows)
    top = kept_inside(top, len(every), rows)
    lines = [head(board, columns)]
    shared = Shared.of(board, columns, glyphs, face=face, masked=masked, calls=calls, here=here)
    lines += rows_of(every[top : top + fits], now, shared, pointed)
    lines += [empty_row(board, columns, glyphs)] * (min(rows, fits) - (len(lines) - 1))
    if fits < rows:
        below = every[top + fits :]
        lines.append(_out_of_sight(top, below, now, columns, calls=calls))
    return tuple(lines)


def in_order(board: Board, now: Instant) -> tuple[Cartridge, ...]:
    """Return what the list holds: what lapsed lately and is owed a repeat, then what runs.

    Nothing can be saved any more of what has lapsed, so of a flood only the
    latest stand on top, and the others behind all that can be saved.
    """
    lapsed = lately_lapsed(at_rest(board).owed, now)
    return (*lapsed[-LAPSED_ON_TOP:], *order_at(board, now), *lapsed[:-LAPSED_ON_TOP])


def rows_in_sight(total: int, rows: int) -> int:
    """Return how many rows hold cartridges; one is given up where some are out of sight."""
    return rows if total <= rows else max(0, rows - 1)


def kept_inside(top: int, total: int, rows: int) -> int:
    """Return the first row in sight, so that no page begins behind the end."""
    return max(0, min(top, total - rows_in_sight(total, rows)))


def top_showing(place: int, top: int, total: int, rows: int) -> int:
    """Return the first row in sight when the row `place` must be; as it was if it is already."""
    fits = max(1, rows_in_sight(total, rows))
    if place < top:
        top = place
    elif place >= top + fits:
        top = place - fits + 1
    return kept_inside(top, total, rows)


def head(board: Board, columns: Columns) -> Line:
    """Return the words above the columns and the labels of the axis."""
    # A narrow column has no room for the whole word and a blank.
    tag = "cart." if columns.tag.width > len("cart.") else "cart"
    parts = [(columns.tag.column + 1, _soft(tag))]
    if columns.patient is not None:
        word = "patient" if columns.patient.width > len("patient") else "pat."
        parts.append((columns.patient.column, _soft(word)))
    parts.append((columns.state.column, _soft("state")))
    parts.append((columns.time.end - len("time"), _soft("time")))
    if columns.axis is not None:
        placed = extras(columns, board)
        parts.extend(_labels(columns.axis.column, scale_beside(columns.axis, placed)))
        parts.extend((each.column, _soft(each.extra.value)) for each in placed)
    return at_columns(*parts, width=columns.width)


def _labels(axis: int, scale: Scale) -> Iterator[tuple[int, Line]]:
    yield axis + scale.past - 1, line(Piece("now", Token.TEXT, bold=True))
    minutes = LABELLED_EVERY
    while (step := minutes * MINUTE // (scale.seconds_a_column * SECOND)) < scale.future - 1:
        said = f"{minutes} min" if minutes == LABELLED_EVERY else str(minutes)
        yield axis + scale.cell(step), _soft(said)
        minutes += LABELLED_EVERY


def _soft(words: str) -> Line:
    return line(Piece(words, Token.SOFT))


def _out_of_sight(
    above: int, below: tuple[Cartridge, ...], now: Instant, columns: Columns, *, calls: bool
) -> Line:
    said = []
    if above:
        said.append(f"{above} {ABOVE}")
    if below:
        said.append(f"{len(below)} more below")
        first = (standing if calls else uncalled)(below[0], now)
        figure = first.figure(now)
        said.append(f"first {first.word} {figure}" if figure else f"first {first.word}")
    keys = [PAGE_UP] if above else []
    keys += [PAGE_DOWN] if below else []
    said.append(" ".join(keys))
    return at_columns((columns.tag.column + 1, _soft("   ".join(said))), width=columns.width)
