"""A row of names of which one is open; where not all of them fit, those around it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.ui.form import Painted, Spot
from readbell.ui.ink import Piece, Token, line

if TYPE_CHECKING:
    from collections.abc import Mapping

GAP = "  "


def tabs(
    names: Mapping[str, str], here: str, width: int, question: str, *, before: str, behind: str
) -> Painted:
    """Return the row, with a spot on each name that is shown.

    Args:
        names: how each is written, by what a click on it answers.
        here: the one that is open.
        width: how wide the row is.
        question: what a click on a name is the answer to.
        before: what says that there are more in front of those shown.
        behind: what says that there are more behind them.
    """
    every = tuple(names)
    first, last, place = 0, len(every), every.index(here)

    def wide() -> int:
        shown = GAP.join(names[each] for each in every[first:last])
        return len(before) + len(shown) + len(behind)

    while last - first > 1 and wide() > width:
        # The end that is farther from the open one goes first.
        if place - first > last - 1 - place:
            first += 1
        else:
            last -= 1
    pieces, spots = [Piece(before if first else " " * len(before), Token.SOFT)], []
    at = len(before)
    for each in every[first:last]:
        name, is_here = names[each], each == here
        spots.append(Spot(0, at, at + len(name), question, each))
        pieces += [Piece(name, Token.TEXT if is_here else Token.SOFT, bold=is_here), Piece(GAP)]
        at += len(name) + len(GAP)
    if last < len(every):
        # Whoever looks for another one has to see that there are more than these.
        pieces[-1] = Piece(behind, Token.SOFT)
    return Painted((line(*pieces).fitted(width),), tuple(spots))
