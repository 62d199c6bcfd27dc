"""Works out when the next person may be begun, in a thread of its own.

Whoever paints gets the last answer at once, and how it stands to what is painted;
they hear of a better one as soon as it is there. With hundreds of cartridges an answer
takes longer than a picture may.
"""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

from readbell.core.instant import SECOND, Instant, between
from readbell.core.plan.answer_state import AnswerState

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.bay.outlook import Outlook
    from readbell.core.board.board import Board
    from readbell.core.plan.answer import Answer

AHEAD = SECOND
"""So long before an answer has had its time the next one is worked out."""


class Foresight:
    """The outlook of one bay, kept up. `start` before use, `stop` after it.

    Args:
        outlook: what answers.
        changed: called, in the thread of this, when there is another answer.
    """

    def __init__(self, outlook: Outlook, changed: Callable[[], None]) -> None:
        self._outlook = outlook
        self._changed = changed
        self._asked: tuple[Board, Instant] | None = None
        self._failed: tuple[Board, Instant] | None = None
        self._stopped = False
        self._waits = threading.Condition()
        self._worker = threading.Thread(target=self._work, name="readbell-outlook", daemon=True)

    def start(self) -> None:
        """Begin to work."""
        self._worker.start()

    def stop(self) -> None:
        """End, once the answer in hand is there."""
        with self._waits:
            self._stopped = True
            self._waits.notify()
        if self._worker.ident is not None:
            self._worker.join()

    def seen(self, board: Board, now: Instant) -> tuple[Answer | None, AnswerState]:
        """Return the last answer and how it stands to `board` at `now`; it waits for nothing.

        Where it does not stand, or soon will not, the next one is begun.
        """
        failed = self._failed
        if failed is not None and failed[0] is board and between(failed[1], now) < AHEAD:
            return None, AnswerState.FAILED
        last, state = self._outlook.seen(board, now)
        if state is not AnswerState.STANDS or (last is not None and _is_old(last, now)):
            with self._waits:
                self._asked = (board, now)
                self._waits.notify()
        return last, state

    def waited_for(self, board: Board, now: Instant) -> Answer | None:
        """Return the answer for `board` at `now`, worked out here and now if it has to be.

        None: there is none, or it could not be worked out.
        """
        try:
            return self._outlook.at(board, now)
        except Exception:  # noqa: BLE001  # it advises; a fault in it must not keep anybody from a start
            self._failed = (board, now)
            return None

    def _work(self) -> None:
        while (asked := self._next()) is not None:
            board, now = asked
            last = self._outlook.last
            renews = last is not None and _is_old(last, now)
            work_out = self._outlook.renewed if renews else self._outlook.at
            try:
                found = work_out(board, now)
                if found is not None:
                    found.complete()
            except Exception:  # noqa: BLE001  # it advises; a fault in it must not take the board along
                self._failed = asked
            self._changed()

    def _next(self) -> tuple[Board, Instant] | None:
        """Return what is asked for, once something is; None: it is stopped."""
        with self._waits:
            self._waits.wait_for(lambda: self._stopped or self._asked is not None)
            asked, self._asked = self._asked, None
            return None if self._stopped else asked


def _is_old(last: Answer, now: Instant) -> bool:
    """Say whether `last` will soon have had its time, and was not worked out just now."""
    return between(now, last.until) <= AHEAD <= between(last.at, now)
