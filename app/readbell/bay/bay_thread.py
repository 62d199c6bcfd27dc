"""The bay in a thread of its own, with its own loop.

A frozen, slow or dead screen must not delay an alarm or lose an act. So whoever
shows the bay lives elsewhere: it gets immutable boards and asks for things, and
the bay never waits for it.
"""

from __future__ import annotations

import asyncio
import threading
from concurrent.futures import FIRST_COMPLETED, CancelledError, Future, wait
from contextlib import suppress
from typing import TYPE_CHECKING, Any, TypeVar

from readbell.bay.errors import BayClosedError

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable
    from contextlib import AbstractAsyncContextManager

    from readbell.bay.bay import Bay
    from readbell.bay.news import News, Return

Answer = TypeVar("Answer")


class BayThread:
    """Runs one bay until it is told to stop.

    Args:
        open_bay: makes the context in which the bay is open; entered in the thread.
    """

    def __init__(
        self, open_bay: Callable[[], AbstractAsyncContextManager[tuple[Bay, Return]]]
    ) -> None:
        self._open_bay = open_bay
        self._thread = threading.Thread(target=self._run, name="readbell-bay")
        self._opened: Future[Return] = Future()
        self._ended: Future[None] = Future()
        self._loop: asyncio.AbstractEventLoop | None = None
        self._stop: asyncio.Event | None = None
        self._bay: Bay | None = None

    def start(self) -> Return:
        """Open the bay and return what is to be told first.

        Raises:
            ReadbellError: it cannot be opened; the text says why.
        """
        self._thread.start()
        return self._opened.result()

    def ask(self, question: Callable[[Bay], Awaitable[Answer]]) -> Answer:
        """Put `question` to the bay in its own thread, and wait for its answer.

        Raises:
            BayClosedError: the bay has been laid down, or was while it was asked.
        """
        assert self._loop is not None  # noqa: S101  # set before `start` returns
        putting = self._put(question)
        try:
            answer = asyncio.run_coroutine_threadsafe(putting, self._loop)
            # What is asked as the bay ends may never be looked at: wait for no longer than that.
            either: set[Future[Any]] = {answer, self._ended}
            wait(either, return_when=FIRST_COMPLETED)
            if not answer.done():
                putting.close()
                raise BayClosedError
            return answer.result()
        except CancelledError:
            raise BayClosedError from None
        except RuntimeError:
            if not self._loop.is_closed():
                raise
            putting.close()
            raise BayClosedError from None

    def present(self) -> News:
        """Return how things stand, at once and from any thread: values that nobody changes.

        Whoever paints asks each second, and must not wait for a bay that writes.
        """
        assert self._bay is not None  # noqa: S101  # set before `start` returns
        return self._bay.present()

    def beat(self) -> None:
        """Say that the screen lives: costs nothing, waits for nothing.

        Once said, it is to be said again within two seconds, or the alarm takes the screen for dead.
        """
        bay = self._bay
        if bay is not None:
            bay.beat()

    def in_hand(self, cartridge: str | None) -> None:
        """Say which cartridge, by its id, somebody acts on now; waits for nothing, as `beat`."""
        bay, loop = self._bay, self._loop
        if bay is not None and loop is not None:
            with suppress(RuntimeError):  # the bay has ended, and nothing sounds any more
                loop.call_soon_threadsafe(bay.hand_on, cartridge)

    def when_ended(self, then: Callable[[Future[None]], None]) -> None:
        """Call `then` once the bay has ended, in whatever way."""
        self._ended.add_done_callback(then)

    def stop(self) -> None:
        """Close the bay with its clean mark, and wait until that is done.

        Raises:
            Exception: whatever made the bay end, if it ended by itself.
        """
        if self._loop is not None and self._stop is not None and not self._ended.done():
            self._loop.call_soon_threadsafe(self._stop.set)
        self._thread.join()
        self._ended.result()

    async def _put(self, question: Callable[[Bay], Awaitable[Answer]]) -> Answer:
        assert self._bay is not None  # noqa: S101  # set before `start` returns
        return await question(self._bay)

    def _run(self) -> None:
        try:
            asyncio.run(self._live())
        except BaseException as error:  # noqa: BLE001  # handed on to whoever waits
            if not self._opened.done():
                self._opened.set_exception(error)
                self._ended.set_result(None)
            else:
                self._ended.set_exception(error)
        else:
            self._ended.set_result(None)

    async def _live(self) -> None:
        self._loop, self._stop = asyncio.get_running_loop(), asyncio.Event()
        async with self._open_bay() as (bay, found):
            self._bay = bay
            self._opened.set_result(found)
            running = asyncio.create_task(bay.run())
            stopping = asyncio.create_task(self._stop.wait())
            done, _ = await asyncio.wait({running, stopping}, return_when=asyncio.FIRST_COMPLETED)
            if running in done:
                running.result()
        await running
