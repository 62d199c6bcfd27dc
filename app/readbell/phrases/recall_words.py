"""Whom a recall concerns, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.recalls import concerned_by
from readbell.phrases.of_cartridges import OUTCOMES
from readbell.phrases.paper_words import ERASED, MARK

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.stock.events import LotRecalled
    from readbell.phrases.clock_time import ClockFace


def say_who_was_tested(recall: LotRecalled, board: Board) -> str:
    """Return the labels of all that a recall concerns, none left out; it names no person."""
    tested = tuple(concerned_by(board, recall))
    if not tested:
        return "RECALLED. Nobody was tested with it here."
    timed = [each.label for each in tested if not each.on_paper]
    on_paper = [f"{each.label} (on paper)" for each in tested if each.on_paper]
    return f"RECALLED. Tested with it: {', '.join((*timed, *on_paper))}."


def list_tested(recall: LotRecalled, board: Board, face: ClockFace) -> Iterator[str]:
    """Yield a line for each test that a recall concerns: whose, which, when, and what it came to."""
    for each in concerned_by(board, recall):
        name = board.name(each.person) or ERASED
        day = face.local(each.at).date()
        came = "no outcome yet" if each.outcome is None else OUTCOMES[each.outcome]
        paper = f"  {MARK}" if each.on_paper else ""
        yield f"{name:<20} {each.label:<12} {day} {face.time(each.at)}  {came}{paper}"
