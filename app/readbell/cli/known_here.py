"""What a command is narrowed by has to be something that the record has heard of.

A number with a slip in it chooses nothing, and a file of nothing looks like a day without a
result: whoever takes it for one has lost every result of the lot that was meant.
"""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from readbell.core.board.board import Board

NAMED_AT_MOST = 3
"""Of what is known so many are named, the nearest first: a sentence is no list."""


def refuse_unknown(board: Board, *, lots: Iterable[str], assays: Iterable[str]) -> None:
    """Refuse a lot or an assay that this record has never heard of.

    Raises:
        WrongFileError: there is one; what comes nearest to it is named.
    """
    from readbell.toml_tables import WrongFileError

    adopted = sorted({each.assay.id for each in board.assays.values()})
    asked = (
        ("--lot", lots, list(board.lots), "no lot of this number was ever received here"),
        ("--assay", assays, adopted, "no assay with this id was ever adopted here"),
    )
    wrong = [
        f"{option} {each}: {words}: {_what_to_do(option, each, known)}"
        for option, given, known, words in asked
        for each in dict.fromkeys(given)
        if each not in known
    ]
    if wrong:
        raise WrongFileError(wrong)


def _what_to_do(option: str, given: str, known: Sequence[str]) -> str:
    """Return what to say in its place: the nearest, or else those that came last."""
    if not known:
        return f"none is known yet: leave {option} out"
    near = get_close_matches(given, known, NAMED_AT_MOST) or known[-NAMED_AT_MOST:][::-1]
    named = " or ".join([", ".join(near[:-1]), near[-1]] if near[1:] else near)
    more = ", or another that it knows" if len(near) < len(known) else ""
    return f"say {named}{more}, or leave {option} out"
