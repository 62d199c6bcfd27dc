"""What of a person's visit stands on a result slip: one result for each assay, and what lies under it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.board.results import visit_results
from readbell.core.board.worklist import begun_at, may_hear
from readbell.core.made_later import dataclass
from readbell.core.results.telling import saying_of

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Iterator

    from readbell.core.board.board import Board
    from readbell.core.board.results import VisitResult
    from readbell.core.instant import Instant
    from readbell.core.results.result import Result
    from readbell.core.results.telling import Hearer


@dataclass(frozen=True, slots=True, kw_only=True)
class OnSlip:
    """One result as a slip shows it."""

    shown: Result
    under: tuple[Result, ...]
    """What was run before or after it in the visit, and does not count."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipOf:
    """What goes on the slip of one person, and what does not."""

    person: str
    """Key of the person."""
    results: tuple[OnSlip, ...]
    waiting: tuple[Result, ...]
    """Of nothing that was run there is anything to say yet: it runs, or waits for somebody."""
    kept_back: tuple[Result, ...]
    """There is something to say, and not to whom the slip is for."""
    too_old: tuple[Result, ...]
    """There is something to say, and whoever asks does not see so far back."""


def slip_of(
    board: Board,
    person: str,
    day_of: Callable[[Instant], Hashable],
    *,
    to: Hearer,
    back_to: Instant | None = None,
    cartridge: str | None = None,
) -> SlipOf:
    """Return what goes on the slip of the person with this key.

    Args:
        board: the bay.
        person: key of the person.
        day_of: gives the day of the site that an instant belongs to.
        to: whom the slip is for; consent says what they may read.
        back_to: since when what was begun may be seen by whoever asks; None: all of it.
        cartridge: only the visit and assay that the thing with this opaque id belongs to; None:
            everything of the day on which the person was tested last.
    """
    visits = visit_results(board, person, day_of)
    chosen = _of_last_day(board, visits, day_of) if cartridge is None else _with(visits, cartridge)
    results: list[OnSlip] = []
    waiting: list[Result] = []
    kept_back: list[Result] = []
    too_old: list[Result] = []
    for visit in chosen:
        shown = shown_of(visit)
        if shown is None:
            waiting.append(visit.latest)
        elif back_to is not None and begun_at(board, shown) < back_to:
            too_old.append(shown)
        elif to not in may_hear(board, shown):
            kept_back.append(shown)
        else:
            under = tuple(each for each in visit.results if each is not shown)
            results.append(OnSlip(shown=shown, under=under))
    return SlipOf(
        person=person,
        results=tuple(results),
        waiting=tuple(waiting),
        kept_back=tuple(kept_back),
        too_old=tuple(too_old),
    )


def shown_of(visit: VisitResult) -> Result | None:
    """Return the result of `visit` that a slip shows, or None while there is nothing to say.

    Where nothing valid came of it, that it is to be repeated is what there is to say, unless
    the last one still runs or waits.
    """
    if visit.reportable is not None:
        return visit.reportable
    return None if saying_of(visit.latest) is None else visit.latest


def _with(visits: tuple[VisitResult, ...], cartridge: str) -> Iterator[VisitResult]:
    return (visit for visit in visits if any(each.cartridge == cartridge for each in visit.results))


def _of_last_day(
    board: Board, visits: tuple[VisitResult, ...], day_of: Callable[[Instant], Hashable]
) -> Iterator[VisitResult]:
    """Yield the visits that something of was begun on the last day on which anything was."""
    begun = [[begun_at(board, each) for each in visit.results] for visit in visits]
    last = max((at for each in begun for at in each), default=None)
    for visit, times in zip(visits, begun, strict=True):
        if last is not None and day_of(last) in {day_of(at) for at in times}:
            yield visit
