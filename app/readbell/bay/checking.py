"""The check of the whole record beside a running bay, and what becomes known of it."""

from __future__ import annotations

import asyncio
import subprocess
import threading
from contextlib import suppress
from typing import IO, TYPE_CHECKING

from readbell.core.board.record_check import RecordCheck, RecordState
from readbell.core.instant import SECOND, Span

if TYPE_CHECKING:
    from collections.abc import Sequence

    from readbell.bay.recorder import Recorder
    from readbell.clock.clock import Sleeper

AFTER = Span(3 * SECOND)
"""The first picture and the first scan go before it (our own choice)."""
SETTLED = frozenset({RecordState.WHOLE, RecordState.BROKEN, RecordState.NOT_CHECKED})
ENDED_EARLY = RecordCheck(state=RecordState.NOT_CHECKED, why="the check ended before its time")


class RecordChecking:
    """Runs the check in a process of its own, and tells of it as the bay's other news are told.

    Args:
        recorder: has the listeners.
        sleeper: waits on the bay's clock.
        command: starts the check; it says how it goes, a line at a time.
        secret: what it is told first, through a pipe that nobody else can read; None: nothing.
    """

    def __init__(
        self,
        *,
        recorder: Recorder,
        sleeper: Sleeper,
        command: Sequence[str],
        secret: str | None = None,
    ) -> None:
        self._recorder = recorder
        self._sleeper = sleeper
        self._command = command
        self._secret = secret
        self._process: subprocess.Popen[str] | None = None
        self._ended = asyncio.Event()
        self._stopping = False
        recorder.record_check = RecordCheck(state=RecordState.CHECKING)

    async def run(self) -> None:
        """Wait a little, then check, and tell of it until it is done or stopped."""
        await self._sleeper.sleep(AFTER)
        self._sleeper.retire()
        if self._stopping:
            return
        try:
            process = self._process = subprocess.Popen(  # noqa: ASYNC220, S603  # our own program
                list(self._command),
                stdin=subprocess.DEVNULL if self._secret is None else subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                text=True,
                start_new_session=True,  # keys and a closed terminal are for the board to take
            )
        except OSError as error:
            self._note(RecordCheck(state=RecordState.NOT_CHECKED, why=type(error).__name__))
            return
        assert process.stdout is not None  # noqa: S101  # a pipe was asked for
        if process.stdin is not None:
            with suppress(OSError):  # it ended before it had read it, and will say so
                process.stdin.write(f"{self._secret}\n")
                process.stdin.close()
        listener = threading.Thread(
            target=self._listen,
            args=(asyncio.get_running_loop(), process.stdout),
            name="readbell-check",
            daemon=True,
        )
        listener.start()
        try:
            await self._ended.wait()
        finally:
            process.kill()
            process.wait()  # at once: it was killed, if it had not ended
            process.stdout.close()
        if self._recorder.record_check.state not in SETTLED and not self._stopping:
            self._note(ENDED_EARLY)

    def stop(self) -> None:
        """End the check, done or not."""
        self._stopping = True
        self._sleeper.wake()
        if self._process is not None:
            self._process.kill()

    async def finish(self) -> None:
        """Leave nothing behind: it has written nothing."""

    def _listen(self, loop: asyncio.AbstractEventLoop, said: IO[str]) -> None:
        from readbell.journal.checking import from_line

        # In a thread of its own: a line of another process may be long in coming.
        with suppress(RuntimeError):  # the bay and its loop have ended
            with suppress(ValueError, LookupError, TypeError):  # what says nothing ends it
                for line in said:
                    loop.call_soon_threadsafe(self._note, from_line(line))
            loop.call_soon_threadsafe(self._ended.set)

    def _note(self, found: RecordCheck) -> None:
        if not self._stopping:
            self._recorder.record_check = found
            self._recorder.tell()
