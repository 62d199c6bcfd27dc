"""What a bay tells in plain lines, while no board shows it: in `--plain`, and after a board failed.

The bay never waits for a terminal: lines are found and printed by a thread of
their own.
"""

from __future__ import annotations

import queue
import threading
from contextlib import suppress
from functools import cached_property
from typing import TYPE_CHECKING

from readbell.cli.spelt_out import spelt_out
from readbell.core.board.events import Ending

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from readbell.bay.news import News, Return
    from readbell.cli.line_mode import LineMode
    from readbell.ui.front import Front

LOOK_EACH = 0.25
STUCK_LOOKS = 4
"""A terminal that takes nothing for so many looks, a second in all, is left alone at the end."""


class Voice:
    """Hears all news; says them while it is asked to."""

    def __init__(self) -> None:
        self.front: Front | None = None
        self.why = Ending.LEFT
        """Why the bay is laid down, for its clean mark."""
        self._speaks = False
        self._is_printing = False
        self._printed = 0
        """How many lines the terminal has taken."""
        self._to_say: queue.SimpleQueue[Callable[[], Iterable[str]] | None] = queue.SimpleQueue()
        self._thread = threading.Thread(target=self._print, name="readbell-voice", daemon=True)
        self._thread.start()

    @cached_property
    def _lines(self) -> LineMode:
        """What finds the lines; made by the thread that prints them, when there is one to print."""
        from readbell.cli.line_mode import LineMode

        return LineMode()

    def hear(self, news: News) -> None:
        """Take in what the bay tells, in the bay's own thread."""
        front = self.front
        if front is not None:
            front.hear(news)
        if self._speaks:
            self._to_say.put(lambda: [each.words for each in self._lines.news(news)])

    def speak_up(self, found: Return | None = None, present: News | None = None) -> None:
        """Say from now on what happens; first what is told when a bay is taken up."""
        if found is not None and present is not None:
            self._to_say.put(lambda: [each.words for each in self._lines.welcome(found, present)])
        self._speaks = True

    def hush(self) -> None:
        """Say nothing more: a board shows it."""
        self._speaks = False

    def say(self, lines: Callable[[], Iterable[str]]) -> None:
        """Say `lines`, found where all others are: in the thread that prints."""
        self._to_say.put(lines)

    def fall_silent(self) -> None:
        """Say what is left, then no more; a terminal that reads nothing is not waited for."""
        self._to_say.put(None)
        stuck = 0
        while self._thread.is_alive() and stuck < STUCK_LOOKS:
            before = self._printed
            self._thread.join(timeout=LOOK_EACH)
            # To find a line may take its time on a busy machine; only who does not read is left.
            stuck = stuck + 1 if self._is_printing and self._printed == before else 0

    def _print(self) -> None:
        while (lines := self._to_say.get()) is not None:
            try:
                for each in lines():
                    self._put(each)
            except OSError:
                return  # nobody is left to read it
            except Exception as error:  # noqa: BLE001  # one bad line must not silence all others
                with suppress(OSError, ValueError):
                    print(f"A line could not be said ({type(error).__name__}).", flush=True)

    def _put(self, words: str) -> None:
        self._is_printing = True
        try:
            _print(words)
        finally:
            self._is_printing = False
        self._printed += 1


def _print(words: str) -> None:
    """Print a line; signs that this terminal cannot show are spelt out."""
    words = spelt_out(words)
    try:
        print(words, flush=True)
    except UnicodeEncodeError:
        print(words.encode("ascii", "backslashreplace").decode("ascii"), flush=True)
