"""The one widget: shows lines, and sends to the terminal only the cells that changed.

The library draws all of it where it must: at first, and when the size changes.
In between the changed cells are written straight to the terminal: the library
would send each changed row from its left edge on, ten times the bytes.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from itertools import groupby
from operator import itemgetter
from typing import TYPE_CHECKING

from rich.cells import cell_len
from rich.segment import Segment
from textual.strip import Strip
from textual.widget import Widget

from readbell.ui.ink import Line, clean

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from rich.console import Console
    from rich.style import Style
    from textual import events
    from textual.geometry import Region

    from readbell.ui.ink import Piece

    Dress = Callable[[Piece, bool], Style]
    """How a piece looks, given whether its line is the chosen one."""

Cell = tuple[str, "Style"]
"""A sign and its looks; the second cell of a wide sign is empty."""

BRIDGE = 8
"""Unchanged cells that are sent rather than skipped: moving the cursor costs as much."""
_PIECES_KEPT = 4096
"""From one second to the next most pieces of a row stay: all but a figure."""


class Sheet(Widget, can_focus=False):
    """The whole screen.

    Args:
        dress: gives a piece its looks.
        resized: is called when there is another size to paint for.
    """

    DEFAULT_CSS = "Sheet { width: 100%; height: 100%; }"
    ALLOW_SELECT = False

    def __init__(self, dress: Dress, resized: Callable[[], None]) -> None:
        super().__init__()
        self._resized = resized
        self._lines: tuple[Line, ...] = ()
        self._dress = dress
        self._of_piece = lru_cache(_PIECES_KEPT)(
            lambda piece, chosen: _cells_of(piece, chosen, dress)
        )

    def show(self, lines: tuple[Line, ...], console: Console) -> str:
        """Keep `lines` as what stands; return what the terminal needs to show the change."""
        before, self._lines = self._lines, lines
        changes: list[str] = []
        for row in range(self.size.height):
            old, new = _line(before, row), _line(lines, row)
            if old != new:
                changes.extend(self._changes(row, old, new, console))
        return "".join(changes)

    def render_lines(self, crop: Region) -> list[Strip]:
        """Return the rows inside `crop`, with no looks of the library's own mixed in."""
        rows = (self._row(_line(self._lines, row)) for row in crop.line_range)
        return [_strip(row[crop.x : crop.right]) for row in rows]

    def render_line(self, y: int) -> Strip:
        """Return row `y`."""
        return _strip(self._row(_line(self._lines, y)))

    def on_resize(self, event: events.Resize) -> None:
        """Ask for lines that fit."""
        event.stop()
        self._resized()

    def _changes(self, row: int, old: Line, new: Line, console: Console) -> Iterator[str]:
        begins, was, now = self._apart(old, new)
        for start, end in spans(was, now):
            shown = "".join([_code(text, style, console) for text, style in _runs(now[start:end])])
            yield f"\x1b[{row + 1};{begins + start + 1}H{shown}"

    def _apart(self, old: Line, new: Line) -> tuple[int, tuple[Cell, ...], tuple[Cell, ...]]:
        """Return where two rows may begin to differ, and the cells of both from there on.

        Most of a row is the very same pieces as before: those are not looked at cell by cell.
        """
        width = self.size.width
        if old.chosen == new.chosen:
            before, one, other = parted(old.pieces, new.pieces)
            begins = sum([_taken(each.text) for each in before])
            was, now = self._of_pieces(one, old.chosen), self._of_pieces(other, new.chosen)
            if len(was) == len(now) <= width - begins:
                return begins, was, now
        return 0, self._row(old), self._row(new)

    def _of_pieces(self, pieces: Iterable[Piece], chosen: bool) -> tuple[Cell, ...]:
        return sum([self._of_piece(piece, chosen) for piece in pieces], ())

    def _row(self, line: Line) -> tuple[Cell, ...]:
        return _cells(line, self.size.width, self._dress)


def parted(
    old: Sequence[Piece], new: Sequence[Piece]
) -> tuple[Sequence[Piece], Sequence[Piece], Sequence[Piece]]:
    """Return the pieces that both begin with, and those of each up to what both end with."""
    least = min(len(old), len(new))
    begin = 0
    # Mostly it is the same object, which is seen at once.
    while begin < least and (old[begin] is new[begin] or old[begin] == new[begin]):
        begin += 1
    end = 0
    while end < least - begin and (
        old[-1 - end] is new[-1 - end] or old[-1 - end] == new[-1 - end]
    ):
        end += 1
    return old[:begin], old[begin : len(old) - end], new[begin : len(new) - end]


def spans(was: tuple[Cell, ...], now: tuple[Cell, ...]) -> Iterator[tuple[int, int]]:
    """Yield from where to where `now` differs, never cutting through a wide sign."""
    changed = [at for at, (one, other) in enumerate(zip(was, now, strict=True)) if one != other]
    while changed:
        start = end = changed[0]
        while changed and changed[0] - end <= BRIDGE:
            end = changed.pop(0)
        end += 1
        while start > 0 and not (now[start][0] and was[start][0]):
            start -= 1
        while end < len(now) and not (now[end][0] and was[end][0]):
            end += 1
        yield start, end


def _line(lines: tuple[Line, ...], row: int) -> Line:
    return lines[row] if row < len(lines) else Line()


def _cells(line: Line, width: int, dress: Dress) -> tuple[Cell, ...]:
    # Cleaned here once more: whatever a painter forgot, no control sign reaches the terminal.
    cleaned = Line(tuple(_cleaned(piece) for piece in line.pieces))
    return tuple(
        cell
        for piece in cleaned.fitted(width).pieces
        for cell in _cells_of(piece, line.chosen, dress)
    )


def _taken(text: str) -> int:
    """Return how many cells `text` takes once it is cleaned."""
    return len(text) if text.isascii() and text.isprintable() else cell_len(clean(text))


def _cleaned(piece: Piece) -> Piece:
    text = clean(piece.text)
    return piece if text == piece.text else replace(piece, text=text)


def _cells_of(piece: Piece, chosen: bool, dress: Dress) -> tuple[Cell, ...]:
    style = dress(piece, chosen)
    cells: list[Cell] = []
    for sign in clean(piece.text):
        cells.append((sign, style))
        if cell_len(sign) > 1:
            cells.append(("", style))
    return tuple(cells)


def _runs(cells: Iterable[Cell]) -> Iterator[tuple[str, Style]]:
    """Yield the text of each stretch of the same looks."""
    for style, run in groupby(cells, key=itemgetter(1)):
        yield "".join([sign for sign, _ in run]), style


@lru_cache(_PIECES_KEPT)
def _code(text: str, style: Style, console: Console) -> str:
    return Strip([Segment(text, style)]).render(console)


def _strip(cells: tuple[Cell, ...]) -> Strip:
    return Strip([Segment(text, style) for text, style in _runs(cells)], len(cells))
