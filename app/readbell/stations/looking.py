"""Looking on at a shared bay: its mirror is brought up to date by whoever looks."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from readbell.bay.around import AloneNow, Around
from readbell.bay.common_time import kept_at, quickest
from readbell.bay.following import MEASURE_EACH
from readbell.clock.anchor import anchor
from readbell.clock.shared_line import begin
from readbell.core.instant import Span
from readbell.journal.errors import LINK_LOST, InUseError, LinkLostError
from readbell.journal.lock import JournalLock
from readbell.journal.shared import SharedJournal
from readbell.journal.sqlite import SqliteJournal
from readbell.settings.station_file import (
    line_of,
    mirror_of,
    read_station_file,
)
from readbell.stations.beside import alone_since
from readbell.stations.opening import server_of

if TYPE_CHECKING:
    from pathlib import Path

    from readbell.bay.news import News
    from readbell.bay.onlooker import Onlooker
    from readbell.clock.clock import Clock
    from readbell.clock.shared_line import SharedLine
    from readbell.core.instant import Instant
    from readbell.journal.postgres import PostgresJournal


class Refreshing:
    """Keeps a mirror up to date for whoever looks on, while no program of this computer does.

    Args:
        path: the station file.
        clock: the clocks of this computer.
    """

    def __init__(self, path: Path, clock: Clock) -> None:
        self._path = path
        self._file = read_station_file(path)
        self._lock = JournalLock(path)
        self._journal: SharedJournal | None = None
        self._clock = clock
        self._measured: int | None = None
        self.line: SharedLine | None = None
        """Where the line of the bay stands, as it was measured last; None: it was not."""

    def look(self) -> None:
        """Bring home what is newer; it waits for a server that is gone for some seconds at most.

        Raises:
            LinkLostError: the server cannot be reached.
            JournalError: it does not let us in, or the mirror is of another bay.
        """
        if not self._is_ours():
            return
        # It takes seconds to find that nobody answers. Whoever begins here meanwhile begins
        # alone, and must not find the mirror taken by somebody who only looks on.
        self._lock.release()
        journal = self._journal
        if journal is None or not journal.is_linked:
            journal = self._brought_home(server_of(self._file))
        elif self._has_newer(journal):
            journal = self._brought_home(None)
        if journal is None:
            return
        try:
            self._measure(journal)
        except LinkLostError:
            journal.cut()  # or the next look would connect anew with the mirror taken
            raise

    def _has_newer(self, journal: SharedJournal) -> bool:
        """Say whether the server has what the mirror has not; the mirror is not taken for that.

        Raises:
            LinkLostError: it does not answer any more.
        """
        try:
            return journal.server.head() != journal.head()
        except LinkLostError:
            journal.cut()
            raise

    def _brought_home(self, server: PostgresJournal | None) -> SharedJournal | None:
        """Bring home what is newer, by way of `server` if that is a new one; None: another program does."""
        if not self._is_ours():
            if server is not None:
                server.close()
            return None
        try:
            journal = self._opened(server)
            journal.pull()
        finally:
            self._lock.release()
        return journal

    def _is_ours(self) -> bool:
        """Take the right to write to the mirror, unless whoever runs the bay here brings it home."""
        try:
            self._lock.take(patience=0)
        except InUseError:
            return False
        return True

    def _opened(self, server: PostgresJournal | None) -> SharedJournal:
        """Return the mirror, linked to `server` if that is a new one."""
        try:
            if self._journal is None:
                self._journal = SharedJournal(SqliteJournal.open(mirror_of(self._path)))
            if server is not None:
                self._journal.linked(server)
        except BaseException:
            if server is not None:
                server.close()
            raise
        return self._journal

    def _measure(self, journal: SharedJournal) -> None:
        """Hold the server's clock against ours now and then: ours may be wrong by anything."""
        running = self._clock.read().running
        if self._measured is not None and running - self._measured < MEASURE_EACH:
            return
        self._measured = running
        offset = journal.server.last_line_offset()
        if offset is not None:
            self.line = begin(quickest(journal.server, self._clock), Span(offset))

    def close(self) -> None:
        """Let go of the server and the mirror."""
        if self._journal is not None:
            self._journal.close()


class StationLookout:
    """Looks on at a shared bay: what `onlooker` reads of the mirror, with what is new brought home.

    The first look shows what is here, whether or not the server can be reached.
    """

    def __init__(self, path: Path, onlooker: Onlooker, clock: Clock) -> None:
        self._refreshing = Refreshing(path, clock)
        self._path = path
        self._clock = clock
        self._file = read_station_file(path)
        self._onlooker = onlooker
        self._was_seen = False

    def look(self) -> News:
        """Return what was recorded since the last look, and how things stand now.

        Raises:
            LinkLostError: the server cannot be reached, and what is here was shown.
        """
        try:
            self._refreshing.look()
        except LinkLostError:
            if self._was_seen:
                raise
        self._was_seen = True
        news = self._in_time(self._onlooker.look())
        since = alone_since(self._path)
        if news.not_saved is None and since is None:
            return news
        # What lies beside a station file was done alone: it is saved here, and not yet there.
        alone = AloneNow(since=news.at if since is None else since, why=LINK_LOST)
        around = Around(station=self._file.station, mark=self._file.mark, alone=alone)
        return replace(news, not_saved=None, around=around)

    def _in_time(self, news: News) -> News:
        """Return `news` at the instant of the bay's own line, and at the server's time of day."""
        reading, line = self._clock.read(), self._refreshing.line
        if line is not None:
            at, offset = line.anchor.instant(reading), line.offset
        else:
            kept = kept_at(line_of(self._path))
            if kept is None or kept.offset is None or kept.moment.boot != reading.boot:
                return news
            at, offset = anchor(kept.moment, reading).instant(reading), kept.offset
        return replace(news, at=at, wall=at - offset)

    def is_kept(self) -> bool | None:
        """Say whether a program keeps the record: the server does, as long as it is reached."""
        return True

    def recorded_at(self) -> Instant | None:
        """Return when the last event was recorded."""
        return self._onlooker.recorded_at()

    def close(self) -> None:
        """Give back what was opened."""
        self._refreshing.close()
        self._onlooker.close()
