"""The figures of a record counted by a program beside the board, while somebody looks at them.

Counting years takes seconds, and pictures of them some more: in a thread of the board's own
every stroke of it would be taken from the alarms. So another process reads the record, and
says in lines what is to be seen. Whoever paints gets the last answer at once and waits for nothing.
"""

from __future__ import annotations

import subprocess
import threading
from contextlib import suppress
from typing import IO, TYPE_CHECKING

from readbell.bay.figures_lines import question, said_in
from readbell.core.figures.view import Answered, CountFailed, Counting
from readbell.core.made_later import dataclass

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from readbell.core.figures.view import Asked, Said

ENDED = CountFailed(why="the program that counts ended before its time")


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What there is to show now."""

    answered: Answered | None = None
    """The last answer; it may be to what was asked before."""
    state: Counting | CountFailed | None = None
    """How far the next one is, or why there is none; None: nothing is being waited for."""


class FiguresBeside:
    """Asks the program that counts, and keeps what it last said.

    Args:
        command: starts it.
        changed: called, in a thread of this, when there is something else to see.
        secret: what it is told first, through a pipe that nobody else can read; None: nothing.
    """

    def __init__(
        self, command: Sequence[str], changed: Callable[[], None], secret: str | None = None
    ) -> None:
        self._command = command
        self._changed = changed
        self._secret = secret
        self._lock = threading.Lock()
        self._process: subprocess.Popen[str] | None = None
        self._listener: threading.Thread | None = None
        self._asked: Asked | None = None
        """What was asked last."""
        self._next: Asked | None = None
        """What is to be asked once that is answered."""
        self._seen = Seen()

    @property
    def last(self) -> Seen:
        """What there was to show last."""
        return self._seen

    def ask(self, asked: Asked) -> Seen:
        """Return what there is to show of `asked`; if it was not asked yet it is now."""
        with self._lock:
            seen = self._seen
            answered = None if seen.answered is None else seen.answered.asked
            if isinstance(seen.state, CountFailed) and self._asked == asked:
                return seen
            if asked != answered and asked not in (self._asked, self._next):
                self._next = asked
                if self._asked is None or isinstance(seen.state, CountFailed):
                    self._send()
            return self._seen

    def rest(self) -> None:
        """Let go of the program and of what it said: nobody looks any more."""
        with self._lock:
            process, self._process = self._process, None
            self._asked = self._next = None
            self._seen = Seen()
        if process is not None:
            process.kill()
            assert self._listener is not None  # noqa: S101  # it began with the process
            self._listener.join()  # at once: what it listens to was killed

    def _send(self) -> None:
        """Ask what is to be asked next; the lock is held."""
        asked, self._next = self._next, None
        self._asked = asked
        if asked is None:
            return
        self._seen = Seen(answered=self._seen.answered, state=None)
        try:
            process = self._process or self._started()
            assert process.stdin is not None  # noqa: S101  # a pipe was asked for
            process.stdin.write(f"{question(asked)}\n")
            process.stdin.flush()
        except OSError as error:
            self._process = None
            self._seen = Seen(state=CountFailed(why=error.strerror or type(error).__name__))

    def _started(self) -> subprocess.Popen[str]:
        process = subprocess.Popen(  # noqa: S603  # our own program
            list(self._command),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            encoding="utf-8",
            start_new_session=True,  # keys and a closed terminal are for the board to take
        )
        assert process.stdin is not None  # noqa: S101  # a pipe was asked for
        assert process.stdout is not None  # noqa: S101
        self._process = process
        if self._secret is not None:
            process.stdin.write(f"{self._secret}\n")
        self._listener = threading.Thread(
            target=self._listen,
            args=(process, process.stdout),
            name="readbell-figures-heard",
            daemon=True,
        )
        self._listener.start()
        return process

    def _listen(self, process: subprocess.Popen[str], said: IO[str]) -> None:
        with suppress(ValueError, LookupError, TypeError, OSError):  # what says nothing ends it
            for line in said:
                self._hear(process, said_in(line))
        process.kill()
        process.wait()  # at once: it was killed, if it had not ended
        said.close()
        if process.stdin is not None:
            with suppress(OSError):  # what it never read
                process.stdin.close()
        self._hear(process, ENDED)

    def _hear(self, process: subprocess.Popen[str], said: Said) -> None:
        with self._lock:
            if self._process is not process:
                return  # nobody waits for this one any more
            match said:
                case Answered():
                    self._seen = Seen(answered=said)
                    self._asked = None
                    self._send()
                case Counting():
                    self._seen = Seen(answered=self._seen.answered, state=said)
                case CountFailed():
                    self._seen = Seen(state=said)
                    if said is ENDED:
                        self._process = None
                    if self._next is not None:
                        self._send()
        self._changed()
