"""The hand at the start of work: who acts before anything is given."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.allowed import must_sign_in
from readbell.core.policy.staffing import SignInBy
from readbell.hand.doing import Watching
from readbell.hand.hand import Hand

if TYPE_CHECKING:
    from readbell.bay.news import News


def first_hand(news: News) -> Hand:
    """Return the hand at the start of work."""
    board = news.board
    operators = list(board.operators)
    # With one operator there is nobody to choose from: a single practitioner signs on by starting.
    operator = operators[0] if len(operators) == 1 else None
    if board.policy.sign_in is not SignInBy.NONE and operators:
        # A start signs everybody out: whoever is in has just founded the bay, and is here.
        here = [each for each, key in board.operators.items() if not must_sign_in(board, key)]
        return Hand(doing=Watching(), operator=next(iter(here), None), locked=not here)
    return Hand(doing=Watching(), operator=operator)
