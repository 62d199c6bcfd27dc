"""Snapshots of the board while a bay runs and when it is laid down, so that a start is short."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING, Protocol

from readbell.core.instant import SECOND, Span
from readbell.journal.snapshot import NOTHING, taking

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readbell.bay.recorder import Recorder
    from readbell.clock.clock import Sleeper
    from readbell.journal.keeper import Keeper
    from readbell.journal.snapshot import Snapshot, Written

EACH = 20_000
"""So many events may have to be read besides a snapshot at a start (our own choice)."""
WORTH_IT = 2_000
"""A record of fewer events is read whole in the blink of an eye (our own choice)."""
LOOK_EACH = Span(10 * SECOND)
BETWEEN_STEPS = Span(20)
"""Between two steps of a millisecond or a few others have the time."""


class Store(Protocol):
    """Where snapshots are kept."""

    def keep_snapshot(
        self, parts: Mapping[int, bytes], stay: frozenset[int], erasures: int
    ) -> bool:
        """Keep `parts` and those in `stay`, if nothing was erased since `erasures`."""

    def erasures(self) -> int:
        """Return how often an identifier was erased."""


class Snapshots:
    """Takes them after so many events, a little at a time, and once at the clean end.

    Args:
        recorder: has the board.
        keeper: the thread that writes.
        sleeper: waits on the bay's clock.
        store: where they go.
        found: the one that this start took up.
        erasures: how often an identifier had been erased before the record was read.
    """

    def __init__(
        self,
        *,
        recorder: Recorder,
        keeper: Keeper,
        sleeper: Sleeper,
        store: Store,
        found: Snapshot | None,
        erasures: int,
    ) -> None:
        self._recorder = recorder
        self._keeper = keeper
        self._sleeper = sleeper
        self._store = store
        self._base = NOTHING if found is None else found.base
        self._taken = 0 if found is None else found.head.seq
        self._erasures = erasures
        self._stopping = False

    async def run(self) -> None:
        """Look from time to time whether it is time for another."""
        while not self._stopping:
            if self._recorder.record_check.is_broken:
                await self._drop()
            elif self._keeper.head.seq - self._taken >= EACH:
                await self._take(paced=True)
            await self._sleeper.sleep(LOOK_EACH)
        self._sleeper.retire()

    def stop(self) -> None:
        """Take no more while the bay runs."""
        self._stopping = True
        self._sleeper.wake()

    async def finish(self) -> None:
        """Take the last one: nobody waits for an act any more."""
        if self._recorder.record_check.is_broken:
            await self._drop()
        else:
            await self._take(paced=False)

    async def _take(self, *, paced: bool) -> None:
        """Take one. Whatever comes in the way, the next start reads the whole record instead."""
        with suppress(Exception):
            written = await self._written(paced=paced)
            if written is not None:
                await self._keeper.read(
                    lambda _: self._store.keep_snapshot(written.parts, written.stay, self._erasures)
                )

    async def _drop(self) -> None:
        """Leave none: the next start reads the whole record, and says what is wrong with it."""
        with suppress(Exception):
            await self._keeper.read(
                lambda _: self._store.keep_snapshot({}, frozenset(), self._erasures)
            )

    async def _written(self, *, paced: bool) -> Written | None:
        last, head = self._recorder.last, self._keeper.head
        if last is None or head.seq < WORTH_IT:
            return None
        if self._recorder.is_behind or self._keeper.not_saved or self._keeper.alone:
            return None  # what is shown is not what the journal adds up to
        self._taken = head.seq
        for written in taking(self._recorder.board, last, head, self._base):
            if written is not None:
                return written
            if paced:
                if self._stopping:
                    return None
                await self._sleeper.sleep(BETWEEN_STEPS)
        return None
