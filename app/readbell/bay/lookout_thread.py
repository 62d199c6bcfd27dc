"""A lookout in a thread of its own: a disk or a server that holds it up never holds up a screen."""

from __future__ import annotations

import asyncio
import threading
from typing import TYPE_CHECKING

from readbell.core.instant import Span

if TYPE_CHECKING:
    from collections.abc import Callable

    from readbell.bay.lookout import Lookout, Sight
    from readbell.clock.clock import Clock

LOOK_EACH = Span(250)
RANK = 90
"""After everything that a bay itself does at one instant."""


class LookoutThread:
    """Looks again and again from `start` to `stop`.

    Args:
        lookout: what looks.
        clock: to wait by.
        changed: is told after a look that brought anything new.
    """

    def __init__(self, lookout: Lookout, clock: Clock, changed: Callable[[], None]) -> None:
        self._lookout, self._clock = lookout, clock
        self.changed = changed
        self._stopped = threading.Event()
        # Nothing is written here, so the program may end while one of them is held up.
        self._thread = threading.Thread(target=self._run, name="readbell-lookout", daemon=True)

    @property
    def seen(self) -> Sight:
        """How the bay stands now, as far as it is followed."""
        return self._lookout.seen.seen_at(self._clock.read())

    def start(self) -> None:
        """Begin to look."""
        self._thread.start()

    def stop(self) -> None:
        """Look no more."""
        self._stopped.set()

    def _run(self) -> None:
        asyncio.run(self._look_on())

    async def _look_on(self) -> None:
        sleeper = self._clock.sleeper(RANK)
        while not self._stopped.is_set():
            before = self._lookout.seen
            self._lookout.look()
            now = self._lookout.seen
            if now.board is not before.board or now.trouble is not before.trouble:
                self.changed()
            await sleeper.sleep(LOOK_EACH)
        self._lookout.close()
