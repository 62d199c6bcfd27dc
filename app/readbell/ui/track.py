"""One cartridge on the common axis of time: the now-line stands, everything else slides to it.

The now-line owns a column. Instants before now lie left of it, from now on
right of it, and a border falls into the column that holds it: left of the line
stands only what has begun, and a column is never shown as a read window while
the whole of it lies before the opening.
"""

from __future__ import annotations

from itertools import groupby
from operator import itemgetter
from typing import TYPE_CHECKING

from readbell.core.cartridge.at_instant import window
from readbell.core.cartridge.foreseen import foreseen_window
from readbell.core.instant import SECOND, Instant, Span, later
from readbell.core.made_later import dataclass
from readbell.phrases.board_words import FOREVER, Where, standing
from readbell.ui.ink import Line, Piece, Token

if TYPE_CHECKING:
    from readbell.core.cartridge.cartridge import Cartridge, RunningWait
    from readbell.core.cartridge.window import Window
    from readbell.ui.glyphs import Glyphs
    from readbell.ui.measures import Axis

_BARS: dict[Where, Token] = {
    Where.READ_NOW: Token.EYES,
    Where.CLOSING: Token.SHORT,
    Where.LAPSED: Token.LOST,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """How time is laid out in columns; it never changes of itself."""

    seconds_a_column: int
    past: int
    """Columns left of the now-line."""
    columns: int
    """All of them, the now-line among them."""

    @property
    def future(self) -> int:
        """Columns right of the now-line."""
        return self.columns - self.past - 1

    @classmethod
    def of(cls, axis: Axis) -> Scale:
        """Return the scale of an axis on the screen."""
        return cls(seconds_a_column=axis.seconds_a_column, past=axis.past, columns=axis.columns)

    def step(self, at: Instant, now: Instant) -> int:
        """Return how many columns from the now-line `at` falls; below 0: before now."""
        return (at - now) // (self.seconds_a_column * SECOND)

    def cell(self, step: int) -> int:
        """Return the cell of a column so many steps from now; 0 is right of the now-line."""
        return self.past + step + (step >= 0)


def track(
    cartridge: Cartridge,
    now: Instant,
    *,
    seconds_a_column: int,
    past: int,
    columns: int,
    glyphs: Glyphs,
) -> Line:
    """Return `cartridge` on the axis, in exactly `columns` cells with `past` before the now-line."""
    scale = Scale(seconds_a_column=seconds_a_column, past=past, columns=columns)
    return painted(cartridge, now, scale, glyphs).line()


def painted(cartridge: Cartridge, now: Instant, scale: Scale, glyphs: Glyphs) -> Canvas:
    """Return `cartridge` on the axis, and for how long it looks so."""
    canvas = Canvas(scale, now, glyphs.now)
    span = window(cartridge)
    if span is None:
        _paint_work(canvas, cartridge, glyphs)
    elif not cartridge.unsure:
        _paint_window(canvas, cartridge, span, glyphs)
    return canvas


def empty_track(scale: Scale, glyphs: Glyphs) -> Line:
    """Return the axis with nothing on it but the now-line."""
    return Canvas(scale, Instant(0), glyphs.now).line()


class Canvas:
    """The cells of one track while it is painted; what lies outside the axis is left out.

    Attributes:
        ends: the first instant after `now` at which something may stand in another cell.
            A colour may change before it: that goes by where the cartridge stands.
    """

    __slots__ = ("_cells", "_scale", "ends", "now")

    def __init__(self, scale: Scale, now: Instant, line_of_now: str) -> None:
        self._scale, self.now, self.ends = scale, now, FOREVER
        self._cells: list[tuple[str, Token]] = [(" ", Token.TEXT)] * scale.columns
        self._cells[scale.past] = (line_of_now, Token.NOW)

    def stretch(
        self,
        begins: Instant,
        ends: Instant | None,
        glyph: str,
        token: Token,
        *,
        stays: tuple[bool, bool] = (True, True),
    ) -> None:
        """Paint from `begins` up to `ends`, without an end to the edge.

        However short, it gets a cell; and while it lasts it has one right of now.
        `stays` says of begin and end whether they lie still, or go on with now.
        """
        scale = self._scale
        start, stop = self._step(begins, stays=stays[0]), scale.future
        if ends is not None:
            lasts = begins <= self.now <= ends
            stop = max(start + 1, self._step(ends, stays=stays[1]), 1 if lasts else start + 1)
        for step in range(max(start, -scale.past), min(stop, scale.future)):
            self._cells[scale.cell(step)] = (glyph, token)

    def mark(
        self, at: Instant, glyph: str, token: Token, *, beside: int = 0, stays: bool = True
    ) -> None:
        """Paint the cell of `at`, or one so many cells to its right."""
        scale = self._scale
        step = self._step(at, beside, stays=stays) + beside
        if -scale.past <= step < scale.future:
            self._cells[scale.cell(step)] = (glyph, token)

    def slot(
        self, begins: Instant, ends: Instant | None, glyphs: Glyphs, *, stays: bool = True
    ) -> None:
        """Paint what is only foreseen: an empty slot, which lies still or goes on with now."""
        self.stretch(begins, ends, glyphs.slot, Token.RAIL, stays=(stays, stays))
        if ends is not None:
            last = self._scale.step(ends, self.now) - self._scale.step(begins, self.now) - 1
            self.mark(begins, glyphs.slot_ends, Token.RAIL, beside=max(1, last), stays=stays)
        self.mark(begins, glyphs.slot_begins, Token.RAIL, stays=stays)

    def _step(self, at: Instant, beside: int = 0, *, stays: bool) -> int:
        """Return the column of `at`, and take note of when it next moves to another in sight.

        What goes on with now leaves its column never. What lies still and goes on with now
        later leaves it no sooner than if it lay still for ever.
        """
        scale = self._scale
        step = scale.step(at, self.now)
        if stays and step + beside >= -scale.past:
            # What lies beyond the far end is seen only once it, or the cell before it, has come there.
            nearest = min(step, scale.future + 1)
            leaves = at - nearest * scale.seconds_a_column * SECOND + 1
            self.ends = min(self.ends, Instant(leaves))
        return step

    def line(self) -> Line:
        """Return the cells as pieces, one for each run of the same meaning."""
        return Line(
            tuple(
                Piece("".join([glyph for glyph, _ in cells]), token)
                for token, cells in groupby(self._cells, key=itemgetter(1))
            ),
            cells=self._scale.columns,
        )


def _paint_window(canvas: Canvas, cartridge: Cartridge, span: Window, glyphs: Glyphs) -> None:
    where = standing(cartridge, canvas.now).where
    bar = _BARS.get(where, Token.WINDOW)
    if cartridge.applied is not None:
        applied = cartridge.applied.said
        canvas.stretch(applied, span.early_from or span.opens, glyphs.dead, Token.RAIL)
        canvas.mark(applied, glyphs.drops, Token.RAIL)
    if span.early_from is not None:
        canvas.stretch(span.early_from, span.opens, glyphs.early, Token.RAIL)
    if not span.is_empty:
        canvas.stretch(span.opens, span.closing_from or span.closes, glyphs.window, bar)
    if span.closing_from is not None and not span.is_empty:
        canvas.stretch(span.closing_from, span.closes, glyphs.closing, bar)
    if where is Where.LAPSED and span.closes is not None:
        canvas.mark(span.closes, glyphs.missed, Token.LOST)


def _paint_work(canvas: Canvas, cartridge: Cartridge, glyphs: Glyphs) -> None:
    for wait in cartridge.running_waits:
        _paint_wait(canvas, cartridge, wait, glyphs)
    begun = False
    for mark in cartridge.marks:
        step = cartridge.assay.step(mark.step)
        if step is not None and (step.extracts or (step.wait is not None and step.wait.least > 0)):
            canvas.mark(mark.done.said, glyphs.drops, Token.RAIL)
            begun = True
    if begun:
        slot = foreseen_window(cartridge, canvas.now)
        # Once only hands are awaited it goes on with now, and from then on does for ever.
        following = foreseen_window(cartridge, later(canvas.now, Span(1)))
        canvas.slot(slot.opens, slot.closes, glyphs, stays=following.opens == slot.opens)


def _paint_wait(canvas: Canvas, cartridge: Cartridge, wait: RunningWait, glyphs: Glyphs) -> None:
    mark, following = cartridge.mark_of(wait.step), cartridge.next_step
    if mark is None or following is None:
        return
    until, stays = wait.limit, True
    if wait.least == 0:
        # Only a limit, such as that of an open pouch: a thread as long as it holds.
        canvas.stretch(mark.done.said, until, glyphs.early, Token.RAIL)
        return
    canvas.stretch(mark.done.said, wait.over, glyphs.early, Token.RAIL)
    if until is None:
        # Without a limit the hands may come at any time: only the work itself is drawn.
        until = later(max(wait.over, canvas.now), following.hands_on)
        stays = canvas.now < wait.over
    if until > wait.over:
        canvas.stretch(wait.over, until, glyphs.window, Token.HANDS, stays=(True, stays))
