"""Tag and figure of the call in large letters."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.phrases.board_words import CALLS
from readbell.ui.ink import Line, Piece, Token, at_columns, line
from readbell.ui.large_digits import can_draw, large, large_width
from readbell.ui.row import ink_of
from readbell.ui.tags import kept_to

if TYPE_CHECKING:
    from readbell.core.instant import Instant
    from readbell.ui.glyphs import Glyphs
    from readbell.ui.measures import Measures
    from readbell.ui.standings import At

BETWEEN = 3
"""Blank columns between tag and figure."""
WIDEST_USUAL = "00:00"
"""The figure ends where this one would, so that its colon stands still."""


def call_digits(top: At, now: Instant, layout: Measures, glyphs: Glyphs) -> tuple[Line, ...]:
    """Return tag and figure in `layout.digit_rows` lines.

    Where both are too wide the figure alone is large, and where even that is,
    both are written small: neither is ever cut.
    """
    size, space = layout.digit_rows, layout.call_digits.width
    tag, figure = top.cartridge.label, top.stands.figure(now)
    calls = top.stands.where in CALLS
    tag_look = Piece("", Token.TEXT if calls else Token.RAIL, bold=True)
    words = ink_of(top.stands.where, flash=True).words
    figure_look = Piece("", words if calls else Token.RAIL, bold=True)
    tag_width = large_width(tag, size, glyphs) if can_draw(tag) else space
    figure_width = large_width(figure, size, glyphs)
    if tag_width + BETWEEN + figure_width <= space:
        usual = tag_width + BETWEEN + large_width(WIDEST_USUAL, size, glyphs)
        ends = min(space, max(usual, tag_width + BETWEEN + figure_width))
        return _side_by_side(
            _inked(large(tag, size, glyphs), tag_look),
            _inked(large(figure, size, glyphs), figure_look),
            ends - figure_width,
            space,
        )
    small = kept_to(tag, space - BETWEEN - figure_width)
    if figure_width + BETWEEN + len(small) > space or not small:
        said = (f"{tag}  {figure}",)
        return _inked(_in_the_middle(said[0], size), figure_look)
    return _side_by_side(
        _inked(_in_the_middle(small, size), tag_look),
        _inked(large(figure, size, glyphs), figure_look),
        space - figure_width,
        space,
    )


def _in_the_middle(text: str, size: int) -> tuple[str, ...]:
    return tuple(text if each == size // 2 else "" for each in range(size))


def _inked(rows: tuple[str, ...], look: Piece) -> tuple[Line, ...]:
    return tuple(line(Piece(each, look.token, look.bold)) for each in rows)


def _side_by_side(
    left: tuple[Line, ...], right: tuple[Line, ...], column: int, width: int
) -> tuple[Line, ...]:
    return tuple(
        at_columns((0, one), (column, other), width=width)
        for one, other in zip(left, right, strict=True)
    )
