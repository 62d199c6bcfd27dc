"""Saved before shown as saved, and what happens when saving fails.

A keeper owns the only thread that writes. While the journal cannot be written
it says so and puts every event into a continuation file instead; it joins that
file as soon as the journal can be written again.
"""

from __future__ import annotations

import asyncio
import secrets
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeVar

from readbell.journal.continuation import (
    Continuation,
    continuations_of,
    read_continuation,
)
from readbell.journal.errors import ConflictError, JournalError, NotWrittenError
from readbell.journal.record import Head

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from readbell.journal.journal import Journal
    from readbell.journal.record import Record

Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True, kw_only=True)
class NotSaved:
    """The journal cannot be written, and where its events go meanwhile."""

    why: str
    continuation: Path | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Branch:
    """A continuation file that does not follow from the journal's end."""

    path: Path
    why: str


class Keeper:
    """Appends from a thread of its own, to the journal or beside it.

    Args:
        journal: where events belong.
        path: its file; None where there is none, and then nothing can spill.
        places: folders to spill into, besides the journal's own.
    """

    def __init__(self, journal: Journal, path: Path | None, places: Sequence[Path] = ()) -> None:
        self._journal = journal
        self._path = path
        self._places = places
        self._writer = ThreadPoolExecutor(max_workers=1, thread_name_prefix="readbell-writer")
        self._head = Head()
        self._spilling: Continuation | None = None
        self.not_saved: NotSaved | None = None

    @property
    def head(self) -> Head:
        """The end of what is on a disk, in the journal or beside it."""
        return self._head

    async def join_left_over(self) -> list[Branch]:
        """Join what earlier runs had to spill; return what does not fit and stays beside."""
        branches = await self._in_writer(self._join_files)
        self._head = await self._in_writer(self._journal.head)
        return branches

    async def append(self, records: Sequence[Record]) -> None:
        """Put `records` on a disk, before anybody is shown that they happened.

        Raises:
            ConflictError: somebody else has appended since.
            NotWrittenError: they are on no disk at all.
        """
        await self._in_writer(lambda: self._append(records))
        self._head = records[-1].head

    def caught_up(self, head: Head) -> None:
        """Append after `head` from now on: everything up to it has been taken in."""
        self._head = head

    async def check(self) -> None:
        """Look whether the journal can still be written; mend or spill accordingly."""
        await self._in_writer(self._check)

    async def read(self, question: Callable[[Journal], Answer]) -> Answer:
        """Ask the journal something, in the thread that owns it."""
        return await self._in_writer(lambda: question(self._journal))

    async def close(self) -> None:
        """Let go of the journal and end the thread."""
        await self._in_writer(self._journal.close)
        self._writer.shutdown()

    async def _in_writer(self, work: Callable[[], Answer]) -> Answer:
        return await asyncio.get_running_loop().run_in_executor(self._writer, work)

    def _append(self, records: Sequence[Record]) -> None:
        if self._spilling is None:
            try:
                self._journal.append(records, self._head)
            except NotWrittenError as error:
                self._begin_spilling(str(error))
            else:
                return
        assert self._spilling is not None  # noqa: S101  # begun just above or before
        self._spilling.append(records)

    def _begin_spilling(self, why: str) -> None:
        self.not_saved = NotSaved(why=why, continuation=None)
        if self._path is None:
            raise NotWrittenError(why)
        token = secrets.token_hex(4)
        self._spilling = Continuation.begin(self._path, self._places, self._head, token)
        self.not_saved = NotSaved(why=why, continuation=self._spilling.path)

    def _check(self) -> None:
        ailment = self._journal.ailment()
        if ailment is not None and self._spilling is None:
            with suppress(NotWrittenError):
                self._begin_spilling(ailment)
        elif ailment is None and self.not_saved is not None:
            self._join_spilled()

    def _join_spilled(self) -> None:
        if self._spilling is not None:
            try:
                self._bring_home(self._spilling.base, self._spilling.records)
            except JournalError:
                return
            self._spilling.path.unlink(missing_ok=True)
        self._spilling = None
        self.not_saved = None

    def _join_files(self) -> list[Branch]:
        branches: list[Branch] = []
        if self._path is None:
            return branches
        for path in continuations_of(self._path, self._places):
            try:
                continued = read_continuation(path)
                self._bring_home(continued.base, continued.records)
            except JournalError as error:
                branches.append(Branch(path=path, why=str(error)))
            else:
                path.unlink()
        return branches

    def _bring_home(self, base: Head, records: Sequence[Record]) -> None:
        # A crash, or a commit whose answer was lost, may have left some there already.
        at_home = {each.hash for each in self._journal.records(base.seq)}
        missing = [each for each in records if each.hash not in at_home]
        if not missing:
            return
        there = len(records) - len(missing)
        expected = records[there - 1].head if there else base
        try:
            self._journal.append(missing, expected)
        except ConflictError:
            msg = f"it goes on from event {base.seq}, but the journal went on without it"
            raise JournalError(msg) from None
