"""Saved before shown as saved, and what happens when saving fails.

A keeper owns the only thread that writes. While the journal cannot be written
it says so and puts every event into a continuation file instead; it joins that
file as soon as the journal can be written again. A shared record whose server
cannot be reached is such a journal, with two differences: the station is alone
and nothing is unsaved; and others may have written meanwhile. Then the two sides
have parted, and whoever knows what events mean joins them up.
"""

from __future__ import annotations

import asyncio
import secrets
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from readbell.core.made_later import dataclass
from readbell.journal.continuation import (
    Continuation,
    continuations_of,
    read_continuation,
)
from readbell.journal.errors import (
    LINK_LOST,
    ConflictError,
    JournalError,
    LinkLostError,
    NotWrittenError,
)
from readbell.journal.left_over import PartedError, not_held, went_on_without
from readbell.journal.locked import KEYRING
from readbell.journal.locked_lines import remove_lines
from readbell.journal.parted import parted
from readbell.journal.record import Head
from readbell.journal.whole import Whole

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from readbell.journal.continuation import Continued
    from readbell.journal.journal import Journal
    from readbell.journal.parted import Parted
    from readbell.journal.record import Record
    from readbell.journal.source import Source

Answer = TypeVar("Answer")


@dataclass(frozen=True, slots=True, kw_only=True)
class NotSaved:
    """The journal cannot be written, and where its events go meanwhile."""

    why: str
    continuation: Path | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Alone:
    """The server of a shared record cannot be reached, or what was done alone is not home yet."""

    why: str
    continuation: Path
    """Where events go meanwhile."""
    has_parted: bool = False
    """Whether the link is back and others have written: both sides are to be joined up."""
    fault: str = ""
    """Why that could not be done when it was tried last; empty: it was not tried, or is to be."""


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
        self._pull: Callable[[], None] | None = getattr(journal, "pull", None)
        """Brings home what others recorded; a record that is not shared has none."""
        self._cut: Callable[[], None] = getattr(journal, "cut", lambda: None)
        self.not_saved: NotSaved | None = None
        self.alone: Alone | None = None
        self.brought_home = 0
        """How many events came home as they were, when this station was last alone no more."""

    @property
    def head(self) -> Head:
        """The end of what is on a disk, in the journal or beside it."""
        return self._head

    @property
    def base(self) -> Head | None:
        """The event after which everything goes beside the journal; None: nothing does."""
        return self._spilled[0].base if self._spilled else None

    async def join_left_over(self) -> list[Branch]:
        """Join what earlier runs had to spill; return what does not fit and stays beside.

        Where the journal still cannot be written, what fits is gone on with.
        """
        return await self._in_writer(self._join_left_over)

    async def append(self, records: Sequence[Record], *, goes_beside: bool = True) -> None:
        """Put `records` on a disk, before anybody is shown that they happened.

        Args:
            records: what happened.
            goes_beside: whether that may be done by a station that finds itself alone by it.

        Raises:
            ConflictError: somebody else has appended since.
            LinkLostError: the link was lost just now, and they do not go beside the record; they
                may be in it all the same.
            NotWrittenError: they are on no disk at all.
        """
        await self._in_writer(lambda: self._append(records, goes_beside=goes_beside))
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

    async def part(self, why: str) -> None:
        """Cut the link and go on beside the shared record: what others write there is beyond this.

        Raises:
            NotWrittenError: the disk here takes nothing either.
        """
        await self._in_writer(lambda: self._part(why))

    async def check(self) -> None:
        """Look whether the journal can still be written; mend or spill accordingly."""
        await self._in_writer(self._check)

    async def compare(self, work: Callable[[Parted, Source], Answer]) -> Answer:
        """Have `work` look at what each side recorded since this station was alone.

        It is done in the thread that owns the record, once the newest of it is here.

        Raises:
            JournalError: the server cannot be reached, or nothing was done alone.
        """
        return await self._in_writer(lambda: self._compare(work))

    async def join_up(self, records: Sequence[Record], end: Head) -> None:
        """Put what was done alone into the shared record, after its `end`, and be alone no more.

        Raises:
            ConflictError: somebody has recorded more meanwhile: look again.
            NotWrittenError: it did not get there; it stays beside.
        """
        await self._in_writer(lambda: self._join_up(records, end))

    async def read(self, question: Callable[[Source], Answer]) -> Answer:
        """Ask the record something, what was spilled included, in the thread that owns it."""
        return await self._in_writer(lambda: question(Whole(self._journal, self._spilled)))

    async def close(self) -> None:
        """Let go of the journal and end the thread; once is enough, and twice does no harm."""
        if not self._closed:
            self._closed = True
            try:
                await self._in_writer(self._journal.close)
            finally:
                for each in self._spilled:
                    await self._in_writer(each.close)
                self._writer.shutdown()

    async def _in_writer(self, work: Callable[[], Answer]) -> Answer:
        return await asyncio.get_running_loop().run_in_executor(self._writer, work)

    def _append(self, records: Sequence[Record], *, goes_beside: bool) -> None:
        if not self._spilled:
            try:
                self._journal.append(records, self._head)
            except LinkLostError as error:
                self._go_on_alone(str(error))
                if not goes_beside:
                    raise
            except NotWrittenError as error:
                self._begin_spilling(str(error))
            else:
                return
        try:
            self._spilled[-1].append(records)
        except NotWrittenError as error:
            # This place has failed as well; perhaps another has not.
            if self.alone is None:
                self._begin_spilling(str(error))
            else:
                self._go_on_alone(self.alone.why)
            self._spilled[-1].append(records)
        if self.alone is not None:
            self.not_saved = None  # the disk here had failed as well, and takes it again

    def _begin_spilling(self, why: str) -> None:
        if self.not_saved is None:
            self.not_saved = NotSaved(why=why, continuation=None)
        if self._path is None:
            raise NotWrittenError(why)
        begun = self._begin(self._path)
        self.not_saved = NotSaved(why=self.not_saved.why, continuation=begun.path)

    def _go_on_alone(self, why: str) -> None:
        """Write beside the record from now on, and say that the station is alone.

        Raises:
            NotWrittenError: the disk here takes nothing either: that is not saved.
        """
        parted_already = self.alone is not None and self.alone.has_parted
        if self._path is None:
            raise NotWrittenError(why)
        try:
            begun = self._begin(self._path)
        except NotWrittenError as error:
            self.not_saved = NotSaved(why=f"{why}, and here {error}", continuation=None)
            raise
        self.alone = Alone(why=why, continuation=begun.path, has_parted=parted_already)

    def _part(self, why: str) -> None:
        self._cut()
        if self.alone is None:
            self._go_on_alone(why)
        else:
            self.alone = replace(self.alone, why=why, has_parted=False)

    def _begin(self, path: Path) -> Continuation:
        begun = Continuation.begin(path, self._places, self._head, secrets.token_hex(4))
        self._spilled.append(begun)
        return begun

    def _check(self) -> None:
        ailment = self._journal.ailment()
        is_well = self.not_saved is None and self.alone is None
        if ailment is not None and is_well:
            with suppress(NotWrittenError):
                if ailment == LINK_LOST:
                    self._go_on_alone(ailment)
                else:
                    self._begin_spilling(ailment)
        elif ailment is None and not is_well:
            self._join_spilled()
        elif ailment is not None and self.alone is not None:
            # Cut once more before both sides were joined up: whatever comes then is looked at anew.
            self.alone = replace(self.alone, why=ailment, has_parted=False)

    def _join_spilled(self) -> None:
        brought = sum(len(each.records) for each in self._spilled)
        try:
            if self._pull is not None:
                self._pull()
            if self._spilled:
                # All at once: between two of them somebody else could record.
                spilled = [record for each in self._spilled for record in each.records]
                self._bring_home(self._spilled[0].base, spilled)
            while self._spilled:
                self._spilled[0].remove()
                del self._spilled[0]
        except PartedError:
            self._note_parted()
        except JournalError:
            return
        else:
            self.brought_home = brought if self.alone is not None else 0
            self.not_saved = self.alone = None

    def _note_parted(self) -> None:
        """Say of a shared record that both sides are to be joined up, whatever was in the way."""
        if self._pull is None:
            return
        if self.alone is None:
            why = LINK_LOST if self.not_saved is None else self.not_saved.why
            self.alone = Alone(why=why, continuation=self._spilled[-1].path)
        self.alone, self.not_saved = replace(self.alone, has_parted=True), None

    def _compare(self, work: Callable[[Parted, Source], Answer]) -> Answer:
        base = self.base
        if base is None or self._pull is None:
            msg = "nothing was done alone"
            raise JournalError(msg)
        self._pull()
        ours = [record for each in self._spilled for record in each.records]
        # What was done alone brings its identifiers with it, what others did has them at home.
        whole = Whole(self._journal, self._spilled)
        return work(parted(self._journal, base, ours), whole)

    def _join_up(self, records: Sequence[Record], end: Head) -> None:
        if records:
            self._journal.append(records, end)
        # Only now: up to here what was done alone is whole in the files beside.
        while self._spilled:
            self._spilled[0].remove()
            del self._spilled[0]
        self.not_saved = self.alone = None
        self._head = records[-1].head if records else end

    def _join_left_over(self) -> list[Branch]:
        branches: list[Branch] = []
        self._head = self._journal.head()
        files = [] if self._path is None else continuations_of(self._path, self._places)
        key = None if self._path is None else KEYRING.of(self._path)
        for path in files:
            try:
                continued = read_continuation(path, key)
                self._join_or_resume(path, continued, key)
            except JournalError as error:
                branches.append(Branch(path=path, why=str(error)))
        return branches

    def _join_or_resume(self, path: Path, continued: Continued, key: str | None) -> None:
        if self._is_of_another_journal(continued):
            return
        missing, expected = self._not_at_home(continued.base, continued.records)
        if missing and expected != self._head and (self._pull is None or self._spilled):
            # Of a shared record it is joined up at a later start, once the file before it is home.
            raise went_on_without(continued.base)
        if missing and self._pull is not None:
            if not self._holds(continued.base):
                cut = self._journal.ailment() == LINK_LOST
                raise not_held(continued.base, self._journal.head(), is_cut=cut)
            # It is brought home once the bay stands: then it can be told how much it was.
            has_parted = expected != self._head
            self.alone = Alone(why=LINK_LOST, continuation=path, has_parted=has_parted)
        elif missing and not self._spilled:
            try:
                self._journal.append(missing, expected)
            except NotWrittenError as error:
                self.not_saved = NotSaved(why=str(error), continuation=path)
            else:
                self._head, missing = missing[-1].head, []
        if not missing:
            remove_lines(path)
            return
        self._spilled.append(Continuation.resume(path, continued, key))
        self._head = continued.end

    def _is_of_another_journal(self, continued: Continued) -> bool:
        """Say whether a file that bears our journal's name goes on from some other one."""
        if continued.journal == str(self._path):
            return False
        if continued.base.seq == 0:
            return bool(continued.records)
        return not self._holds(continued.base)

    def _holds(self, base: Head) -> bool:
        """Say whether the journal has the event that `base` names, as it was."""
        if base.seq == 0:
            return True
        home = next(self._journal.records(base.seq - 1), None)
        return home is not None and home.head == base

    def _bring_home(self, base: Head, records: Sequence[Record]) -> None:
        missing, expected = self._not_at_home(base, records)
        if not missing:
            return
        if self._pull is not None and self._journal.head() != expected:
            raise PartedError(str(went_on_without(base)))
        try:
            self._journal.append(missing, expected)
        except ConflictError:
            raise PartedError(str(went_on_without(base))) from None

    def _not_at_home(self, base: Head, records: Sequence[Record]) -> tuple[list[Record], Head]:
        """Return what of `records` the journal has not, and the end that it follows from.

        A crash, or a commit whose answer was lost, may have left some there already.
        """
        at_home = {each.hash for each in self._journal.records(base.seq)}
        missing = [each for each in records if each.hash not in at_home]
        there = len(records) - len(missing)
        return missing, records[there - 1].head if there else base
