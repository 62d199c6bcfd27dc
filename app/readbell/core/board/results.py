"""What of a person's cartridges is their result: one for each visit and assay.

Rule: one visit and assay has one reportable result, the last valid one. Earlier ones that
were invalid, lapsed or withheld are listed under it. A visit is a day of the site; a
repeat belongs to the visit of the cartridge that it repeats, on whichever day it was begun,
as long as nothing valid came of that visit.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.made_later import dataclass
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.result import is_reportable, result_of, result_of_paper_run

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.paper.events import PaperRunEntered
    from readbell.core.results.result import Result

_VALID = (Outcome.POSITIVE, Outcome.NEGATIVE)


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitResult:
    """What came of one visit by one assay."""

    assay: str
    """Its id."""
    results: tuple[Result, ...]
    """Everything that was run, in the order in which it was begun; at least one."""

    @property
    def reportable(self) -> Result | None:
        """The one result of the visit: the last valid one that may be told; None: none may."""
        valid = [each for each in self.results if is_valid(each)]
        return valid[-1] if valid else None

    @property
    def under_it(self) -> tuple[Result, ...]:
        """All that is listed under the reportable result; everything, where there is none."""
        found = self.reportable
        return tuple(each for each in self.results if each is not found)

    @property
    def latest(self) -> Result:
        """What was begun last, whatever came of it."""
        return self.results[-1]


def is_valid(result: Result) -> bool:
    """Say whether `result` may be told and says something: positive or negative."""
    return is_reportable(result) and result.outcome in _VALID


def result_called(board: Board, key: str) -> Result | None:
    """Return the result of the cartridge, or of the run on paper, with this opaque id."""
    cartridge = board.cartridge(key)
    if cartridge is not None:
        return result_of(cartridge)
    run = board.paper_runs.get(key)
    return None if run is None else _on_paper(board, run)


def visit_results(
    board: Board, person: str, day_of: Callable[[Instant], Hashable]
) -> tuple[VisitResult, ...]:
    """Return what came of each visit of the person with this key, by assay, the oldest first.

    Args:
        board: the bay.
        person: key of the person.
        day_of: gives the day of the site that an instant belongs to; equal for one day.
    """
    visits: list[tuple[str, Hashable, list[Result]]] = []
    for begun, result in sorted(_begun(board, person), key=lambda each: each[0]):
        assay, day = result.assay.id, day_of(begun)
        for its_assay, its_day, results in reversed(visits):
            same_day = its_assay == assay and its_day == day
            # A cartridge names the last one that failed however long ago; that visit may be over.
            over = any(is_valid(each) for each in results)
            repeats = any(each.cartridge == result.repeat_of for each in results)
            if same_day or (repeats and not over):
                results.append(result)
                break
        else:
            visits.append((assay, day, [result]))
    return tuple(VisitResult(assay=assay, results=tuple(each)) for assay, _, each in visits)


def visit_of(
    board: Board, result: Result, day_of: Callable[[Instant], Hashable]
) -> VisitResult | None:
    """Return the visit that `result` belongs to; None: it is nobody's."""
    visits = visit_results(board, result.subject, day_of)
    return next(
        (
            visit
            for visit in visits
            if any(each.cartridge == result.cartridge for each in visit.results)
        ),
        None,
    )


def _begun(board: Board, person: str) -> Iterator[tuple[Instant, Result]]:
    """Yield each result of a person and when it was begun: labelled, or stated to have been."""
    theirs = (board.cartridge(key) for key in board.history.get(person, ()))
    yield from ((each.labelled.at, result_of(each)) for each in theirs if each is not None)
    for key in board.on_paper.get(person, ()):
        run = board.paper_runs[key]
        yield run.steps[0].said, _on_paper(board, run)


def _on_paper(board: Board, run: PaperRunEntered) -> Result:
    withdrawn = board.paper_withdrawn.get(run.run)
    return result_of_paper_run(run, board.assays[run.assay].assay, withdrawn)
