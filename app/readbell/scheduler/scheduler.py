"""The task that waits for the next deadline and says that it has come.

It never trusts one long sleep: it asks the clock again after each stretch, so a
lid that was closed, a stopped process or a moved wall clock makes an
announcement late at worst, never early and never lost.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readbell.core.instant import Span, between

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable

    from readbell.clock.clock import Sleeper
    from readbell.core.instant import Instant
    from readbell.scheduler.deadlines import Deadlines


class Scheduler:
    """Runs until it is stopped.

    Args:
        sleeper: waits on the bay's clock.
        now: where the bay's clock stands.
        deadlines: what is pending; others write to it and then call `look_again`.
        announce: told each time something is due; it takes the due keys out itself.
        watch: called after each stretch of sleep, to notice what the clocks did.
    """

    def __init__(
        self,
        *,
        sleeper: Sleeper,
        now: Callable[[], Instant],
        deadlines: Deadlines,
        announce: Callable[[], Awaitable[None]],
        watch: Callable[[], Awaitable[None]],
    ) -> None:
        self._sleeper = sleeper
        self._now = now
        self._deadlines = deadlines
        self._announce = announce
        self._watch = watch
        self._stopping = False

    def look_again(self) -> None:
        """Say that the deadlines have changed."""
        self._sleeper.wake()

    def stop(self) -> None:
        """Let `run` end after what it is doing."""
        self._stopping = True
        self._sleeper.wake()

    async def run(self) -> None:
        """Announce each deadline as it comes."""
        while not self._stopping:
            await self._watch()
            due = self._deadlines.next_due()
            left = None if due is None else between(self._now(), due)
            if left is not None and left <= 0:
                await self._announce()
                continue
            await self._sleeper.sleep(None if left is None else Span(left))
        self._sleeper.retire()
