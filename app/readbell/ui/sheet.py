"""The one widget: shows lines, and sends to the terminal only the cells that changed.

The library draws all of it at first. When the window is torn, as by another size, so does
this one, since the library would do it by a timer, which a busy machine may lose; and
a row or two with each second, since no word comes when something else wrote there.
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
    from collections.abc import Callable, Container, Iterable, Iterator, Sequence

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

    def keep(self, lines: tuple[Line, ...]) -> None:
        """Keep `lines` for the first picture."""
        self._lines = lines

    def show(
        self, lines: tuple[Line, ...], console: Console, torn: Container[int] = frozenset()
    ) -> str:
        """Keep `lines` as what stands; return what the terminal needs to show the change.

        Args:
            lines: the picture, from the top.
            console: turns looks into codes.
            torn: rows of which nobody knows what stands there: all of each is sent.
        """
        before, self._lines = self._lines, lines
        changes: list[str] = []
        for row in range(self.size.height):
            old, new = _line(before, row), _line(lines, row)
            if row in torn:
                changes.append(f"\x1b[{row + 1};1H{self._whole(new, console)}")
            elif old != new:
                changes.extend(self._changes(row, old, new, console))
        return "".join(changes)

    def render_lines(self, crop: Region) -> list[Strip]:
        """Return the rows inside `crop`, with no looks of the library's own mixed in."""
        lines = [_line(self._lines, row) for row in crop.line_range]
        if crop.x == 0 and crop.right == self.size.width:
            return [self._strip(each) for each in lines]
        return [_strip(self._row(each)[crop.x : crop.right]) for each in lines]

    def render_line(self, y: int) -> Strip:
        """Return row `y`."""
        return self._strip(_line(self._lines, y))

    def on_resize(self, event: events.Resize) -> None:
        """Ask for lines that fit."""
        event.stop()
        self._resized()

    def _whole(self, line: Line, console: Console) -> str:
        return "".join([_code(text, style, console) for text, style in self._runs(line)])

    def _strip(self, line: Line) -> Strip:
        return Strip([Segment(text, style) for text, style in self._runs(line)], self.size.width)

    def _runs(self, line: Line) -> Iterator[tuple[str, Style]]:
        """Yield what `_runs` makes of the cells of a whole row; no sign is looked at by itself."""
        pieces = [each for each in _fitted(line, self.size.width) if each.text]
        for style, run in groupby(pieces, key=lambda each: self._dress(each, line.chosen)):
            yield "".join([each.text for each in run]), style

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
    return tuple(
        cell for piece in _fitted(line, width) for cell in _cells_of(piece, line.chosen, dress)
    )


def _fitted(line: Line, width: int) -> tuple[Piece, ...]:
    # Cleaned here once more: whatever a painter forgot, no control sign reaches the terminal.
    return Line(tuple(_cleaned(piece) for piece in line.pieces)).fitted(width).pieces


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
