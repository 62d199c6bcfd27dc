"""The room of the assays at hand: which are adopted, and the figures of the chosen one."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from readbell.ui.form import Painted
from readbell.ui.ink import Piece, Token, line
from readbell.ui.table import table
from readbell.ui.wrapped import PROSE, wrapped

if TYPE_CHECKING:
    from readbell.hand.doing import Visiting
    from readbell.hand.scene import AtHand, Scene
    from readbell.ui.table import Row

NONE_AT_HAND = "No assay file is at hand here."
NO_ROOM = "No room for its figures here: readbell assay shows them."
MARGIN = 2
LEAST_ROWS = 3
"""The head of the table, the chosen row and one more."""


def assays_room(doing: Visiting, scene: Scene, width: int, height: int) -> Painted:
    """Return the assays at hand, and below them what is held against the kit's instructions."""
    if not scene.shelf:
        return Painted((line(" " * MARGIN, Piece(NONE_AT_HAND, Token.SOFT)),))
    adopted = {each.assay.id: each for each in scene.board.assays.values()}
    titles = Counter(each.title for each in scene.shelf)
    at = (3, width * 2 // 3)
    head: Row = ("", ((at[0], "assay"), (at[1], "adopted by instructions")))
    rows: list[Row] = []
    for each in scene.shelf:
        found = adopted.get(each.id)
        how = "not adopted" if found is None else found.instructions_version
        # Of two with one title the id comes first, as a long title loses its end.
        named = each.title if titles[each.title] == 1 else f"{each.id}: {each.title}"
        rows.append((each.id, ((at[0], named), (at[1], how))))
    chosen = scene.shelf[min(doing.cursor, len(rows) - 1)]
    below = figures_of(chosen, width, height - min(LEAST_ROWS, len(rows) + 1))
    made = table(head, rows, doing.cursor, width, max(1, height - len(below.lines)))
    return made.then(below)


def figures_of(assay: AtHand, width: int, height: int) -> Painted:
    """Return the figures of `assay`, all of them or none: half of them would pass for the whole."""
    if not assay.figures:
        return Painted(())
    wide = max(1, min(width - 2 * MARGIN, PROSE))
    said = [row for each in assay.figures for row in wrapped(each, wide)]
    if len(said) > height - 1:
        said = wrapped(NO_ROOM, wide)
    if len(said) > height - 1:
        return Painted(())
    rows = (line(" " * MARGIN, Piece(each, Token.TEXT)) for each in said)
    return Painted((line(), *rows))
