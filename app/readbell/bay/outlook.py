"""When the next person may be begun, kept as long as it holds: asked for with every picture."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.layered import newest
from readbell.core.instant import SECOND, Span, later
from readbell.core.plan.answer import Answer, Crew, answer
from readbell.core.plan.bench import Break
from readbell.core.plan.course import Around, follow
from readbell.core.plan.learnt import learnt

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.plan.hands_on import HandsOn
    from readbell.scenarios.plan_lines import BreakTable
    from readbell.settings.site_settings import SiteSettings

MOST_RUNNING = 300
"""With more running it is not worked out: that would take time from the screen."""
LEARN_EVERY = 10
"""Of a long record the times are learnt anew after so many cartridges more."""


class Outlook:
    """The answer for one bay. Two threads that ask at once may both work it out, and get the same.

    Args:
        hands: how many are at work.
        gloves: how long a change of gloves takes here; None: as each assay says.
    """

    def __init__(self, hands: int = 1, gloves: Span | None = None) -> None:
        self._hands = hands
        self._gloves = gloves
        self._kept: tuple[Board, Answer | None] | None = None
        self._learnt: tuple[int, Mapping[str, Mapping[str, HandsOn]]] = (-1, {})

    def at(self, board: Board, now: Instant) -> Answer | None:
        """Return the answer that holds at `now`, worked out anew only where it has to be.

        None: no assay is adopted, so nobody can be begun; or far too many run.
        """
        kept = self._kept
        if kept is None or kept[0] is not board or (kept[1] is not None and not kept[1].holds(now)):
            last = None if kept is None else kept[1]
            kept = self._kept = (board, self.worked_out(board, now, last=last))
        return kept[1]

    def worked_out(
        self,
        board: Board,
        now: Instant,
        *,
        breaks: Mapping[str, Sequence[Break]] | None = None,
        last: Answer | None = None,
    ) -> Answer | None:
        """Return the answer at `now`, with `breaks` by the key of an operator; `last` came before."""
        assay = to_be_begun(board)
        if assay is None or len(board.running) > MOST_RUNNING:
            return None
        assays = {key: each.assay for key, each in board.assays.items()}
        crew = Crew(hands=self._hands, gloves=self._gloves, times=self._times(board), breaks=breaks)
        running = tuple(board.running.values())
        found = answer(running, assays, assay, crew, now, last)
        around = Around(cartridges=running, assays=assays, crew=crew)
        course = follow(None if last is None else last.course, board.plan, around, now)
        return replace(found, course=course)

    def _times(self, board: Board) -> Mapping[str, Mapping[str, HandsOn]]:
        count = len(board.ended) // LEARN_EVERY
        if self._learnt[0] != count:
            self._learnt = (count, learnt(newest(board.ended)))
        return self._learnt[1]


def outlook_of(settings: SiteSettings) -> Outlook:
    """Return the outlook of a site as its settings want it."""
    worn = settings.gloves_seconds
    return Outlook(settings.hands, None if worn is None else Span(worn * SECOND))


def breaks_of(
    asked: Iterable[BreakTable], board: Board, now: Instant
) -> Mapping[str, Sequence[Break]]:
    """Return the breaks that a line asks for, by the key of the operator; all are registered."""
    found: dict[str, list[Break]] = {}
    for each in asked:
        pause = Break(since=later(now, each.since), until=later(now, each.until))
        found.setdefault(board.operators[each.operator], []).append(pause)
    return {key: sorted(pauses, key=_since) for key, pauses in found.items()}


def _since(pause: Break) -> Instant:
    return pause.since


def to_be_begun(board: Board) -> Assay | None:
    """Return the assay of whoever is begun next: that of the open box, or the one adopted last."""
    lot = None if board.open_lot is None else board.lots.get(board.open_lot)
    if lot is not None:
        return board.assays[lot.assay].assay
    adopted = list(board.assays.values())
    return adopted[-1].assay if adopted else None
