"""Who is at the station, in the few words that the top line has for it; and what the page is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.policy.staffing import SignInBy
from readbell.hand.doing import (
    ChoosingPin,
    Figuring,
    Filling,
    Following,
    Helping,
    Judging,
    Leaving,
    Proving,
    Visiting,
)
from readbell.ui.at_rest import at_rest
from readbell.ui.form import Painted
from readbell.ui.ink import Piece, Token, line
from readbell.ui.wrapped import wrapped

if TYPE_CHECKING:
    from readbell.core.board.board import Board
    from readbell.hand.hand import Hand

LOCKED = "LOCKED"
MOST_NAMED = 4
PAGES: dict[type, str] = {
    Judging: "one strip",
    Visiting: "rooms",
    Filling: "rooms",
    Proving: "signing in",
    ChoosingPin: "a new PIN",
    Following: "one story",
    Figuring: "figures",
    Helping: "signs and keys",
    Leaving: "leaving",
}


def signed_on(board: Board) -> tuple[str, ...]:
    """Return who is named beside the one who acts: who signed in, or who is registered."""
    if board.policy.sign_in is SignInBy.NONE:
        return tuple(board.operators)[:MOST_NAMED]
    names = (board.name(key) for key in board.roster.signed_in)
    return tuple(name for name in names if name is not None)[:MOST_NAMED]


def page_words(board: Board, hand: Hand, *, is_board: bool) -> str:
    """Return what stands behind the bay's name: locked, held, and which page it is."""
    held = at_rest(board).held
    said = [
        LOCKED if hand.locked else "",
        f"{held} held" if held else "",
        "" if is_board else PAGES.get(type(hand.doing), ""),
    ]
    return "   ".join(each for each in said if each)


def pin_page(doing: Proving | ChoosingPin, width: int) -> Painted:
    """Return the body of the page on which a PIN is typed; it shows none of it."""
    if isinstance(doing, Proving):
        title = f"PIN of {doing.operator}"
        says = "Type it by hand, then Enter; it is not shown. A scanner cannot type it."
    else:
        title = f"A new PIN for {doing.operator}"
        often = "once more" if doing.first is not None else "twice"
        says = f"Type it {often}, each time with Enter; it is not shown. 4 to 12 digits."
    told = [line("  ", Piece(each, Token.SOFT)) for each in wrapped(says, max(1, width - 4))]
    return Painted((line(" ", Piece(title, Token.TEXT, bold=True)), line(), *told))
