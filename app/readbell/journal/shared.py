"""The journal of one station of a shared bay: the server's record, and a mirror of it here.

What is appended goes to the server first; what is read comes from the mirror, so that a board
opens and paints without a network. The mirror is a journal in one SQLite file like any other.
It may lag, and it is never ahead: it holds what the server has committed, in the server's order.

A mirror that cannot be written loses nothing and stops nobody: what the server has taken is
kept in memory behind it, is read from there, and goes into the file when the file takes it.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING, Protocol

from readbell.journal.erasing import erased_by
from readbell.journal.errors import (
    LINK_LOST,
    BrokenChainError,
    ConflictError,
    JournalError,
    LinkLostError,
    NotWrittenError,
)
from readbell.journal.journal import Journal
from readbell.journal.verify import follows

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping, Sequence

    from readbell.journal.record import Head, PrivateRow, Record
    from readbell.journal.sqlite import SqliteJournal

A_STRETCH = 1_000
"""Records that are brought home at once: a cut link loses no more than these from what was done."""
OTHER_BAY = "this file mirrors the journal of another bay: join with a new file"


class Server(Journal, Protocol):
    """The record on the server, through one connection; not for use by two threads at once."""

    line_offset: int | None
    """The line less the server's clock, in milliseconds: goes with what is appended."""

    def newer(self, after: int) -> Iterator[Record]:
        """Yield the events after number `after`, each with what it introduced on the erasable side."""

    def last_line_offset(self) -> int | None:
        """Return the offset that went with the newest event that has one."""

    def server_now(self) -> int:
        """Return the server's clock, in milliseconds since 1970."""

    def has_namesake(self, run: str) -> bool:
        """Say whether any run of the program but `run` listens in the name of this station."""


class OtherBayError(JournalError):
    """The mirror is of another bay than the server's."""


class ServerBehindError(JournalError):
    """The server lost events that this station has."""


class SharedJournal:
    """A mirror and the server it mirrors. Not for use by two threads at once.

    Args:
        mirror: the record as far as this computer has it.
        server: the record itself; None while it cannot be reached.
    """

    def __init__(self, mirror: SqliteJournal, server: Server | None = None) -> None:
        self.mirror = mirror
        self._server = server
        self._cut = server is None
        """Whether the link is known to be lost; may be set from any thread."""
        self._tail: list[Record] = []
        """What the server has and the file of the mirror would not take."""
        self._line_offset: int | None = None
        self.broken: str | None = None
        """What is wrong with the record on the server; nothing is added to it then."""
        self.mirror_ailment: str | None = None
        """Why the mirror cannot be written; the record is none the worse for it."""

    @property
    def is_linked(self) -> bool:
        """Whether the server can be reached, as far as is known."""
        return not self._cut

    @property
    def server(self) -> Server:
        """The record on the server.

        Raises:
            LinkLostError: it cannot be reached.
        """
        if self._server is None or self._cut:
            raise LinkLostError(LINK_LOST)
        return self._server

    def cut(self) -> None:
        """Take note that the link is lost; from any thread, and waits for nothing."""
        self._cut = True

    def linked(self, server: Server) -> None:
        """Go on with a new connection to the server.

        Raises:
            OtherBayError: the record there is another one; the link stays cut.
            ServerBehindError: it lacks events that are here; so too.
            LinkLostError: it is lost again already.
        """
        self._cut = True  # until it is known to be the same record
        old, self._server = self._server, server
        if old is not None and old is not server:
            with suppress(JournalError):
                old.close()
        server.line_offset = self._line_offset
        self._check_same_bay(server)
        self._cut = False

    def measured(self, line_offset: int) -> None:
        """Send `line_offset` along with what is appended from now on."""
        self._line_offset = line_offset
        if self._server is not None:
            self._server.line_offset = line_offset

    def head(self) -> Head:
        """Return the end of the record, as far as this station has it."""
        return self._tail[-1].head if self._tail else self.mirror.head()

    def append(self, records: Sequence[Record], expected: Head) -> Head:
        """Have the server store `records`, all or none, and return the new end.

        Raises:
            ConflictError: the end is no longer `expected`; what others recorded is here by now.
            LinkLostError: the server cannot be reached; it may have them all the same.
            NotWrittenError: the server cannot store them, or its record is broken.
        """
        server = self.server
        try:
            end = server.append(records, expected)
        except ConflictError:
            self._pull_whole()
            raise
        except LinkLostError:
            self._cut = True
            raise
        self._bring_home(records)
        return end

    def pull(self, told: Callable[[int, int], None] | None = None) -> int:
        """Bring home what the server has and the mirror has not; return how many records that was.

        Args:
            told: hears how many are home and how many there are in all, now and then.

        Raises:
            LinkLostError: the link was lost on the way; what is home stays.
            BrokenChainError: what the server has does not follow from what is here.
        """
        home, before = 0, self.head()
        stretch: list[Record] = []
        try:
            end = 0 if told is None else self.server.head().seq
            for record in self.server.newer(before.seq):
                follows(record, before)
                before = record.head
                stretch.append(record)
                if len(stretch) == A_STRETCH:
                    home += self._take_home(stretch)
                    if told is not None:
                        told(before.seq, max(end, before.seq))
        except LinkLostError:
            self._cut = True
            raise
        except BrokenChainError as error:
            self.broken = f"the record on the server is broken: {error}"
            raise
        finally:
            # What came before the link was cut is whole, and stays.
            home += self._take_home(stretch)
        return home

    def _pull_whole(self) -> None:
        """Bring home what others recorded, to be judged anew.

        Raises:
            LinkLostError: the link was lost on the way.
            NotWrittenError: it is not what was once written; alarms have to go on all the same.
        """
        try:
            self.pull()
        except BrokenChainError:
            raise NotWrittenError(str(self.broken)) from None

    def records(self, after: int = 0) -> Iterator[Record]:
        """Yield the stored events after number `after`, in order.

        Raises:
            JournalError: the mirror cannot be read.
        """
        yield from self.mirror.records(after)
        yield from (record for record in tuple(self._tail) if record.seq > after)

    def private(self, key: str) -> PrivateRow | None:
        """Return what was kept apart under `key`, or None."""
        for record in self._tail:
            for row in record.private:
                if row.key == key:
                    return row
        found = self.mirror.private(key)
        if found is not None and self._tail and key in _erased_in(self._tail):
            return replace(found, salt="", value=None)
        return found

    def snapshot(self) -> Mapping[int, bytes]:
        """Return the parts of the snapshot that is kept beside the mirror."""
        return self.mirror.snapshot()

    def erasures(self) -> int:
        """Return how often an identifier was erased, as far as that is known."""
        return self.mirror.erasures()

    def keep_snapshot(
        self, parts: Mapping[int, bytes], stay: frozenset[int], erasures: int
    ) -> bool:
        """Keep `parts` beside the mirror; not while the mirror lacks what they were made of."""
        return not self._tail and self.mirror.keep_snapshot(parts, stay, erasures)

    def ailment(self) -> str | None:
        """Say why the next append would fail, as far as is known; waits for no network."""
        return LINK_LOST if self._cut else self.broken

    def close(self) -> None:
        """Let go of the mirror and of the server."""
        try:
            if self._server is not None:
                with suppress(JournalError):
                    self._server.close()
        finally:
            self.mirror.close()

    def _check_same_bay(self, server: Server) -> None:
        """Check that the mirror's end stands in the server's record."""
        end = self.head()
        if end.seq == 0:
            return
        found = next(iter(server.records(end.seq - 1)), None)
        if found is not None and found.head == end:
            return
        first = next(iter(server.records(0)), None)
        if first is not None and first.head == next(self.records(0)).head:
            msg = (
                f"the record on the server lacks events that this station has, up to {end.seq}: "
                "it was brought back from an older copy; keep the mirror, and have its "
                "administrator bring the newest record back"
            )
            raise ServerBehindError(msg)
        raise OtherBayError(OTHER_BAY)

    def _take_home(self, stretch: list[Record]) -> int:
        """Bring home what `stretch` holds, empty it, and return how many that was."""
        count = len(stretch)
        self._bring_home(stretch)
        stretch.clear()
        return count

    def _bring_home(self, records: Sequence[Record]) -> None:
        """Put into the mirror what the server has; what it does not take waits in memory."""
        if not records:
            return
        self._tail.extend(records)
        # What is erased by now is not to come home with its value.
        erased = _erased_in(records)
        if erased:
            self._tail = [_without(each, erased) for each in self._tail]
        try:
            self.mirror.append(self._tail, self.mirror.head())
        except ConflictError as error:  # another program writes to the file, against the lock
            raise BrokenChainError(self._tail[0].seq, str(error)) from None
        except NotWrittenError as error:
            self.mirror_ailment = str(error)
        else:
            self._tail.clear()
            self.mirror_ailment = None


def _erased_in(records: Sequence[Record]) -> frozenset[str]:
    return frozenset(key for each in records for key in erased_by(each))


def _without(record: Record, erased: frozenset[str]) -> Record:
    rows = tuple(
        replace(row, salt="", value=None) if row.key in erased else row for row in record.private
    )
    return replace(record, private=rows)
