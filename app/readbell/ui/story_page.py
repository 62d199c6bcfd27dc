"""The page on which a whole story is read, a screenful at a time."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from readbell.phrases.cartridge_story import story_of
from readbell.ui.ink import Line, Piece, Token, line
from readbell.ui.wrapped import wrapped

if TYPE_CHECKING:
    from readbell.hand.doing import Following
    from readbell.hand.scene import Scene

HIDDEN = "Hidden: nobody has touched a key for a while."
INDENT = 4
TITLE = "the whole story"


def story_page(
    doing: Following, scene: Scene, width: int, height: int, *, masked: bool
) -> tuple[Line, ...]:
    """Return one page of the story; after the last comes the first again."""
    cartridge = scene.cartridge(doing.cartridge)
    if doing.cartridge is not None and cartridge is None:
        return ()
    if masked and cartridge is None:
        # Whose it is may be a person's ID.
        title = line(" ", Piece(TITLE.capitalize(), Token.TEXT, bold=True))
    else:
        called = doing.of if cartridge is None else cartridge.label
        title = line(" ", Piece(f"{called}: {TITLE}", Token.TEXT, bold=True))
    if masked:
        return (title, line(" ", Piece(HIDDEN, Token.SOFT)))[:height]
    told = doing.told if cartridge is None else story_of(cartridge, scene.board, scene.face)
    lines = _in_lines(told, max(1, width - INDENT - 1))
    rows = max(1, height - 1)
    if len(lines) <= rows:
        return (title, *lines)[:height]
    rows = max(1, rows - 1)
    pages = -(-len(lines) // rows)
    here = doing.page % pages
    shown = list(lines[here * rows : (here + 1) * rows])
    shown += [line()] * (rows - len(shown))
    turn = line(" ", Piece(f"{here + 1} of {pages}   Down: next", Token.TEXT, bold=True))
    return (title, *shown, turn)[:height]


@lru_cache(maxsize=1)  # a long one is painted every second, and does not change
def _in_lines(told: tuple[str, ...], width: int) -> tuple[Line, ...]:
    return tuple(
        line(" " if place == 0 else " " * INDENT, Piece(each, Token.TEXT))
        for said in told
        for place, each in enumerate(wrapped(said, width))
    )
