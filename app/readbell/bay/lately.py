"""Counts up what today and this week have come to, in a thread of its own, while somebody looks.

The first look walks the cartridges of the week, and as far before it as lots are watched; each
later one counts what has changed since.
"""

from __future__ import annotations

import threading
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.core.board.board import Board
    from readbell.core.figures.counted import Counted
    from readbell.core.figures.week import Week
    from readbell.core.statistics.cusum import Watch


class Lately:
    """The figures of the week of one bay. Nothing is counted before somebody asks.

    Args:
        changed: called, in the thread of this, when there are other figures.
    """

    def __init__(self, changed: Callable[[], None]) -> None:
        self._changed = changed
        self.watch: Callable[[], Watch | None] | None = None
        """Gives what lots are watched by; called once, in the thread of this: it takes a moment.
        None: they are watched as the program comes."""
        self._watch: Watch | None = None
        self._asked: tuple[Board, str] | None = None
        self._last: tuple[Board, str, Week] | None = None
        self._counted: tuple[Board, str, Counted] | None = None
        self._failed: Board | None = None
        self._stopped = False
        self._waits = threading.Condition()
        self._worker = threading.Thread(target=self._work, name="readbell-figures", daemon=True)

    def seen(self, board: Board, day: str) -> Week | None:
        """Return the last figures, older ones where newer are being counted; it waits for nothing.

        Args:
            board: the bay.
            day: today, at the site, as YYYY-MM-DD.
        """
        last = self._last
        if (last is None or last[0] is not board or last[1] != day) and self._failed is not board:
            with self._waits:
                if self._worker.ident is None and not self._stopped:
                    self._worker.start()
                self._asked = (board, day)
                self._waits.notify()
        return None if last is None or last[1] != day else last[2]

    def stop(self) -> None:
        """End, once what is being counted is counted."""
        with self._waits:
            self._stopped = True
            self._waits.notify()
        if self._worker.ident is not None:
            self._worker.join()

    def _work(self) -> None:
        while (asked := self._next()) is not None:
            board, day = asked
            try:
                self._last = (board, day, self._week(board, day))
            except Exception:  # noqa: BLE001  # figures to look at; a fault in them must not take the board along
                self._failed, self._counted = board, None
            self._changed()

    def _next(self) -> tuple[Board, str] | None:
        with self._waits:
            self._waits.wait_for(lambda: self._stopped or self._asked is not None)
            asked, self._asked = self._asked, None
            return None if self._stopped else asked

    def _week(self, board: Board, day: str) -> Week:
        # Imported by this thread, once somebody looks: a board is painted without figures.
        from readbell.bay.week_walked import refused, walked
        from readbell.core.figures.watching import watch_over_lots
        from readbell.core.figures.week import monday_of, week_of
        from readbell.journal.counting import counting

        first, kept = monday_of(day), self._counted
        if kept is None or kept[1] != first:
            counted = walked(board, first)
        else:
            before, _, counted = kept
            for part in counting(before, board):
                if part is not None:
                    counted.join(part)
        self._counted = (board, first, counted)
        self._watch = self._watch or (self.watch or watch_over_lots)()
        in_store = {number for number, lot in board.lots.items() if not lot.is_used_up}
        return week_of(counted, day, self._watch, refused(board, first, day), in_store)
