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
    from collections.abc import Callable, Iterator

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
_LINES_KEPT = 512
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
        self._row = lru_cache(_LINES_KEPT)(lambda line, width: _cells(line, width, dress))

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
        width = self.size.width
        rows = (self._row(_line(self._lines, row), width) for row in crop.line_range)
        return [_strip(row[crop.x : crop.right]) for row in rows]

    def render_line(self, y: int) -> Strip:
        """Return row `y`."""
        return _strip(self._row(_line(self._lines, y), self.size.width))

    def on_resize(self, event: events.Resize) -> None:
        """Ask for lines that fit."""
        event.stop()
        self._resized()

    def _changes(self, row: int, old: Line, new: Line, console: Console) -> Iterator[str]:
        width = self.size.width
        was, now = self._row(old, width), self._row(new, width)
        for start, end in spans(was, now):
            yield f"\x1b[{row + 1};{start + 1}H{_strip(now[start:end]).render(console)}"


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
    cells: list[Cell] = []
    # Cleaned here once more: whatever a painter forgot, no control sign reaches the terminal.
    shown = Line(tuple(_cleaned(piece) for piece in line.pieces))
    for piece in shown.fitted(width).pieces:
        cells.extend(_cells_of(piece.text, dress(piece, line.chosen)))
    return tuple(cells)


def _cleaned(piece: Piece) -> Piece:
    text = clean(piece.text)
    return piece if text == piece.text else replace(piece, text=text)


@lru_cache(_PIECES_KEPT)
def _cells_of(text: str, style: Style) -> tuple[Cell, ...]:
    cells: list[Cell] = []
    for sign in text:
        cells.append((sign, style))
        if cell_len(sign) > 1:
            cells.append(("", style))
    return tuple(cells)


def _strip(cells: tuple[Cell, ...]) -> Strip:
    segments = [
        Segment("".join([sign for sign, _ in run]), style)
        for style, run in groupby(cells, key=itemgetter(1))
    ]
    return Strip(segments, len(cells))
