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
    from collections.abc import Callable, Iterator, Sequence
    from pathlib import Path

    from readbell.journal.continuation import Continued
    from readbell.journal.journal import Journal
    from readbell.journal.record import PrivateRow, Record
    from readbell.journal.source import Source

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
        self._closed = False
        self._spilled: list[Continuation] = []
        self.not_saved: NotSaved | None = None

    @property
    def head(self) -> Head:
        """The end of what is on a disk, in the journal or beside it."""
        return self._head

    async def join_left_over(self) -> list[Branch]:
        """Join what earlier runs had to spill; return what does not fit and stays beside.

        Where the journal still cannot be written, what fits is gone on with.
        """
        return await self._in_writer(self._join_left_over)

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

    async def spill(self, why: str) -> None:
        """Write beside the journal from now on.

        Raises:
            NotWrittenError: no place is left.
        """
        await self._in_writer(lambda: self._begin_spilling(why))

    async def check(self) -> None:
        """Look whether the journal can still be written; mend or spill accordingly."""
        await self._in_writer(self._check)

    async def read(self, question: Callable[[Source], Answer]) -> Answer:
        """Ask the record something, what was spilled included, in the thread that owns it."""
        return await self._in_writer(lambda: question(_Whole(self._journal, self._spilled)))

    async def close(self) -> None:
        """Let go of the journal and end the thread; once is enough, and twice does no harm."""
        if not self._closed:
            self._closed = True
            try:
                await self._in_writer(self._journal.close)
            finally:
                self._writer.shutdown()

    async def _in_writer(self, work: Callable[[], Answer]) -> Answer:
        return await asyncio.get_running_loop().run_in_executor(self._writer, work)

    def _append(self, records: Sequence[Record]) -> None:
        if not self._spilled:
            try:
                self._journal.append(records, self._head)
            except NotWrittenError as error:
                self._begin_spilling(str(error))
            else:
                return
        try:
            self._spilled[-1].append(records)
        except NotWrittenError as error:
            # This place has failed as well; perhaps another has not.
            self._begin_spilling(str(error))
            self._spilled[-1].append(records)

    def _begin_spilling(self, why: str) -> None:
        if self.not_saved is None:
            self.not_saved = NotSaved(why=why, continuation=None)
        if self._path is None:
            raise NotWrittenError(why)
        token = secrets.token_hex(4)
        begun = Continuation.begin(self._path, self._places, self._head, token)
        self._spilled.append(begun)
        self.not_saved = NotSaved(why=self.not_saved.why, continuation=begun.path)

    def _check(self) -> None:
        ailment = self._journal.ailment()
        if ailment is not None and self.not_saved is None:
            with suppress(NotWrittenError):
                self._begin_spilling(ailment)
        elif ailment is None and self.not_saved is not None:
            self._join_spilled()

    def _join_spilled(self) -> None:
        while self._spilled:
            spilled = self._spilled[0]
            try:
                self._bring_home(spilled.base, spilled.records)
            except JournalError:
                return
            _remove(spilled.path)
            del self._spilled[0]
        self.not_saved = None

    def _join_left_over(self) -> list[Branch]:
        branches: list[Branch] = []
        self._head = self._journal.head()
        files = [] if self._path is None else continuations_of(self._path, self._places)
        for path in files:
            try:
                continued = read_continuation(path)
                self._join_or_resume(path, continued)
            except JournalError as error:
                branches.append(Branch(path=path, why=str(error)))
        return branches

    def _join_or_resume(self, path: Path, continued: Continued) -> None:
        if self._is_of_another_journal(continued):
            return
        missing, expected = self._not_at_home(continued.base, continued.records)
        if missing and expected != self._head:
            raise _went_on_without(continued.base)
        if missing and not self._spilled:
            try:
                self._journal.append(missing, expected)
            except NotWrittenError as error:
                self.not_saved = NotSaved(why=str(error), continuation=path)
            else:
                self._head, missing = missing[-1].head, []
        if not missing:
            _remove(path)
            return
        self._spilled.append(Continuation.resume(path, continued))
        self._head = continued.end

    def _is_of_another_journal(self, continued: Continued) -> bool:
        """Say whether a file that bears our journal's name goes on from some other one."""
        if continued.journal == str(self._path):
            return False
        if continued.base.seq == 0:
            return bool(continued.records)
        home = next(self._journal.records(continued.base.seq - 1), None)
        return home is None or home.head != continued.base

    def _bring_home(self, base: Head, records: Sequence[Record]) -> None:
        missing, expected = self._not_at_home(base, records)
        if missing:
            try:
                self._journal.append(missing, expected)
            except ConflictError:
                raise _went_on_without(base) from None

    def _not_at_home(self, base: Head, records: Sequence[Record]) -> tuple[list[Record], Head]:
        """Return what of `records` the journal has not, and the end that it follows from.

        A crash, or a commit whose answer was lost, may have left some there already.
        """
        at_home = {each.hash for each in self._journal.records(base.seq)}
        missing = [each for each in records if each.hash not in at_home]
        there = len(records) - len(missing)
        return missing, records[there - 1].head if there else base


class _Whole:
    """The journal and what was spilled after it, as one record."""

    def __init__(self, journal: Journal, spilled: Sequence[Continuation]) -> None:
        self._journal = journal
        self._beside = [record for each in spilled for record in each.records]

    def records(self, after: int = 0) -> Iterator[Record]:
        last = after
        for record in self._journal.records(after):
            last = record.seq
            yield record
        # What was brought home before a crash stands in both places.
        yield from (record for record in self._beside if record.seq > last)

    def private(self, key: str) -> PrivateRow | None:
        beside = {row.key: row for record in self._beside for row in record.private}
        return beside.get(key) or self._journal.private(key)


def _went_on_without(base: Head) -> JournalError:
    return JournalError(f"it goes on from event {base.seq}, but the journal went on without it")


def _remove(path: Path) -> None:
    with suppress(OSError):  # what stays is found to be at home already, next time
        path.unlink(missing_ok=True)
