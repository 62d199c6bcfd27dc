"""Every alert in one line, for the pages on which the list is not in sight."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.to_repeat import lately_lapsed
from readbell.phrases.board_words import CALLS, SIGNS, WORDS, Where
from readbell.ui.at_rest import at_rest
from readbell.ui.ink import Line, Piece, line
from readbell.ui.row import ink_of
from readbell.ui.standings import At, standings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.core.board.board import Board
    from readbell.core.instant import Instant

BETWEEN = "   "
_TOLD = (*CALLS, Where.UNSURE, Where.STEP_DUE, Where.LAPSED)


def alert_line(board: Board, now: Instant, width: int) -> Line:
    """Return what calls, grouped by word, the most urgent first; blank when nothing does.

    Where the tags do not fit it shortens to counts, the least urgent group first.
    """
    groups = _groups(board, now)
    counts = len(groups)
    made = _joined([_group(*each, now) for each in groups])
    while made.width > width and counts:
        counts -= 1
        made = _joined(
            [
                _group(*each, now) if place < counts else _counted(*each)
                for place, each in enumerate(groups)
            ]
        )
    if made.width > width:
        # No word is cut in the middle: the signs alone, which are explained under F1.
        made = _joined([_counted(*each, word=False) for each in groups], between=" ")
    return made.fitted(width)


def _groups(board: Board, now: Instant) -> list[tuple[Where, list[At]]]:
    found = standings(board, now)
    groups = {where: [*found.of(where)] for where in _TOLD}
    lost = lately_lapsed(at_rest(board).owed, now)
    groups[Where.LAPSED] = [*(At.of(each, now) for each in lost), *groups[Where.LAPSED]]
    return [(where, each) for where, each in groups.items() if each]


def _group(where: Where, members: Sequence[At], now: Instant) -> Line:
    ink = ink_of(where)
    word = line(Piece(f" {SIGNS[where]} {_word(where, members)} ", ink.words, bold=True))
    shown = " ".join(each.cartridge.label for each in members)
    if where is Where.CLOSING:
        # What is lost next carries its figure wherever one is.
        first = members[0]
        rest = "".join(f" {each.cartridge.label}" for each in members[1:])
        shown = f"{first.cartridge.label} {first.stands.figure(now)}{rest}"
    return word + line(Piece(f" {shown}", ink.named, bold=True))


def _word(where: Where, members: Sequence[At]) -> str:
    """Return what a group is called; of steps that are due the drops have a word of their own."""
    words = {each.stands.word for each in members}
    return words.pop() if where is Where.STEP_DUE and len(words) == 1 else WORDS[where]


def _counted(where: Where, members: Sequence[At], *, word: bool = True) -> Line:
    ink = ink_of(where)
    said = f" {SIGNS[where]} {_word(where, members)} " if word else SIGNS[where].rstrip()
    return line(Piece(said, ink.words, bold=True), Piece(f" {len(members)}", ink.named, bold=True))


def _joined(groups: Sequence[Line], between: str = BETWEEN) -> Line:
    made = Line()
    for place, each in enumerate(groups):
        made = made + (line(between) if place else Line()) + each
    return made
