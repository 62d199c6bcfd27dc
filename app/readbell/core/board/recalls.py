"""Whom a recall concerns: everybody who was tested with the lot, on the board or on paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.paper_runs import runs_with_lot
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Iterator

    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.reading.interpretation import Outcome
    from readbell.core.stock.events import LotRecalled


@dataclass(frozen=True, slots=True, kw_only=True)
class Concerned:
    """One test with a lot that was called back."""

    person: str
    """Key of whoever was tested."""
    label: str
    at: Instant
    """When the cartridge was labelled; of a run on paper, when it was read, as was stated."""
    outcome: Outcome | None
    """None: nothing came of it, or nothing yet."""
    on_paper: bool


def recall_of(board: Board, lot: str) -> LotRecalled | None:
    """Return how `lot` was called back, the last time if it was more than once; None: it is not."""
    found = board.lots.get(lot)
    if found is None or not found.is_recalled:
        return None
    return next((each for each in reversed(board.stock_room.recalls) if each.number == lot), None)


def concerned_by(board: Board, recall: LotRecalled) -> Iterator[Concerned]:
    """Yield each test that a recall concerns, those of the board first, as they stand now.

    What was done on paper before it may be entered after it, and so may what was done at a
    station that was alone.
    """
    alone = board.stock_room.after_recall.get(recall.number, ())
    for each in dict.fromkeys((*recall.cartridges, *alone)):
        cartridge = board.cartridge(each)
        if cartridge is not None:
            yield Concerned(
                person=cartridge.labelled.subject,
                label=cartridge.label,
                at=cartridge.labelled.at,
                outcome=cartridge.outcome,
                on_paper=False,
            )
    later = runs_with_lot(board, recall.number, recall.at)
    for each in dict.fromkeys((*recall.paper_runs, *later)):
        run = board.paper_runs.get(each)
        if run is not None:
            yield Concerned(
                person=run.person, label=run.label, at=run.read, outcome=run.outcome, on_paper=True
            )
