"""What a bay tells in plain lines, while no board shows it: in `--plain`, and after a board failed.

The bay never waits for a terminal: lines are found and printed by a thread of
their own.
"""

from __future__ import annotations

import queue
import threading
from contextlib import suppress
from typing import TYPE_CHECKING

from readbell.cli.line_mode import LineMode
from readbell.cli.spelt_out import spelt_out
from readbell.core.board.events import Ending

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from readbell.bay.news import News, Return
    from readbell.ui.front import Front


class Voice:
    """Hears all news; says them while it is asked to."""

    def __init__(self) -> None:
        self.front: Front | None = None
        self.why = Ending.LEFT
        """Why the bay is laid down, for its clean mark."""
        self._speaks = False
        self._lines = LineMode()
        self._to_say: queue.SimpleQueue[Callable[[], Iterable[str]] | None] = queue.SimpleQueue()
        self._thread = threading.Thread(target=self._print, name="readbell-voice", daemon=True)
        self._thread.start()

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
        self._thread.join(timeout=1.0)

    def _print(self) -> None:
        while (lines := self._to_say.get()) is not None:
            try:
                for each in lines():
                    _print(each)
            except OSError:
                return  # nobody is left to read it
            except Exception as error:  # noqa: BLE001  # one bad line must not silence all others
                with suppress(OSError, ValueError):
                    print(f"A line could not be said ({type(error).__name__}).", flush=True)


def _print(words: str) -> None:
    """Print a line; signs that this terminal cannot show are spelt out."""
    words = spelt_out(words)
    try:
        print(words, flush=True)
    except UnicodeEncodeError:
        print(words.encode("ascii", "backslashreplace").decode("ascii"), flush=True)
