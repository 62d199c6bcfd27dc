"""When the next person may be begun, kept as long as it holds."""

from __future__ import annotations

import operator
import threading
from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.core.board.layered import newest
from readbell.core.board.second_reader import read_twice
from readbell.core.instant import SECOND, Span, later
from readbell.core.made_later import dataclass
from readbell.core.plan.answer_state import AnswerState

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from readbell.core.assay.assay import Assay
    from readbell.core.board.board import Board
    from readbell.core.instant import Instant
    from readbell.core.plan.answer import Answer
    from readbell.core.plan.bench import Break
    from readbell.core.plan.hands_on import HandsOn
    from readbell.scenarios.plan_lines import BreakTable
    from readbell.settings.site_settings import SiteSettings

MOST_RUNNING = 300
"""With more running it is not worked out, and that is said."""
LEARN_EVERY = 10
"""Of a long record the times are learnt anew after so many cartridges more."""


@dataclass(frozen=True, slots=True)
class _Kept:
    asked: tuple[object, ...]
    answer: Answer | None


def _hangs_on(board: Board) -> tuple[object, ...]:
    """Return all of `board` that an answer hangs on: where each is the same object, so is the answer."""
    assay = to_be_begun(board)
    return board.running, board.assays, assay, board.plan, board.policy, board.roster


class Outlook:
    """The answer for one bay, worked out once for each question; any thread may ask.

    Args:
        hands: how many are at work.
        gloves: how long a change of gloves takes here; None: as each assay says.
    """

    def __init__(self, hands: int = 1, gloves: Span | None = None) -> None:
        self._hands = hands
        self._gloves = gloves
        self._kept: _Kept | None = None
        self._learnt: tuple[int, Mapping[str, Mapping[str, HandsOn]]] = (-1, {})
        self._working = threading.Lock()

    def at(self, board: Board, now: Instant) -> Answer | None:
        """Return the answer that holds at `now`, worked out anew only where it has to be.

        None: no assay is adopted, so nobody can be begun; or far too many run.
        """
        found, state = self.seen(board, now)
        if state is AnswerState.STANDS:
            return found  # also while the next one is being worked out
        with self._working:
            found, state = self.seen(board, now)
            return found if state is AnswerState.STANDS else self._work_out(board, now)

    def renewed(self, board: Board, now: Instant) -> Answer | None:
        """Return the answer at `now`, worked out even where the last one holds."""
        with self._working:
            return self._work_out(board, now)

    @property
    def last(self) -> Answer | None:
        """The answer worked out last, whatever the board was; waits for nothing."""
        kept = self._kept
        return None if kept is None else kept.answer

    def seen(self, board: Board, now: Instant) -> tuple[Answer | None, AnswerState]:
        """Return the last answer and how it stands to `board` at `now`; waits for nothing."""
        kept = self._kept
        if kept is None:
            return None, AnswerState.NOT_YET
        found = kept.answer
        # By identity: nothing is looked through, and whatever changes is made anew.
        asks_the_same = all(map(operator.is_, kept.asked, _hangs_on(board)))
        if not asks_the_same or (found is not None and not found.holds(now)):
            # Of a bay that had no answer there is nothing to show meanwhile.
            return found, AnswerState.NOT_YET if found is None else AnswerState.PASSED
        return found, AnswerState.STANDS

    def worked_out(
        self,
        board: Board,
        now: Instant,
        *,
        breaks: Mapping[str, Sequence[Break]] | None = None,
        last: Answer | None = None,
    ) -> Answer | None:
        """Return the answer at `now`; `last` came before.

        The breaks of a loaded plan are counted, and `breaks` beside them, by the key of an operator.
        """
        # The planner is imported by whoever works something out; a picture only asks for the last.
        from readbell.core.plan.answer import Crew, answer
        from readbell.core.plan.course import Around, follow
        from readbell.core.plan.pauses import by_operator, pauses_of
        from readbell.core.plan.present import at_work

        assay = to_be_begun(board)
        if assay is None or len(board.running) > MOST_RUNNING:
            return None
        assays = {key: each.assay for key, each in board.assays.items()}
        running = tuple(board.running.values())
        pauses = () if board.plan is None else pauses_of(board.plan, at_work(running), now)
        crew = Crew(
            hands=self._hands,
            gloves=self._gloves,
            times=self._times(board),
            breaks=_both(by_operator(pauses), breaks or {}),
            read_twice=read_twice(board),
        )
        found = answer(running, assays, assay, crew, now, last)
        around = Around(cartridges=running, assays=assays, crew=crew)
        course = follow(None if last is None else last.course, board.plan, around, now)
        return replace(found, course=course, pauses=pauses)

    def _work_out(self, board: Board, now: Instant) -> Answer | None:
        found = self.worked_out(board, now, last=self.last)
        self._kept = _Kept(_hangs_on(board), found)
        return found

    def _times(self, board: Board) -> Mapping[str, Mapping[str, HandsOn]]:
        count = len(board.ended) // LEARN_EVERY
        if self._learnt[0] != count:
            from readbell.core.plan.learnt import learnt

            self._learnt = (count, learnt(newest(board.ended)))
        return self._learnt[1]


def _both(
    one: Mapping[str, Sequence[Break]], other: Mapping[str, Sequence[Break]]
) -> Mapping[str, Sequence[Break]]:
    return {
        key: sorted((*one.get(key, ()), *other.get(key, ())), key=_since)
        for key in (*one, *(key for key in other if key not in one))
    }


def outlook_of(settings: SiteSettings) -> Outlook:
    """Return the outlook of a site as its settings want it."""
    worn = settings.gloves_seconds
    return Outlook(settings.hands, None if worn is None else Span(worn * SECOND))


def breaks_of(
    asked: Iterable[BreakTable], board: Board, now: Instant
) -> Mapping[str, Sequence[Break]]:
    """Return the breaks that a line asks for, by the key of the operator; all are registered."""
    from readbell.core.plan.bench import Break

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
