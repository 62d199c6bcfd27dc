"""Looking on at one bay for long: what was seen last, and whether it is still followed.

Whatever happens to the file, the program or the link, what was seen stays, with why and since
when it is no longer so; and it is tried again, for as long as anybody looks.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Protocol

from readbell.core.board.not_followed import NotFollowed
from readbell.core.errors import ReadbellError
from readbell.core.instant import SECOND, Instant, Span, later
from readbell.core.made_later import dataclass
from readbell.journal.errors import LinkLostError

if TYPE_CHECKING:
    from collections.abc import Callable
    from pathlib import Path

    from readbell.bay.news import News
    from readbell.clock.clock import Clock, Reading
    from readbell.core.board.board import Board

AGAIN_EACH = Span(2 * SECOND)
"""How often what cannot be opened is tried again, and how often it is asked who keeps it."""
NO_ANSWER_FROM = Span(6 * SECOND)
"""So long without any look is told: a disk or a server holds it up."""


class Looking(Protocol):
    """Somebody who looks on at one bay."""

    def look(self) -> News:
        """Return what was recorded since the last look, and how things stand now."""

    def is_kept(self) -> bool | None:
        """Say whether a program keeps the record now; None: that cannot be known."""

    def recorded_at(self) -> Instant | None:
        """Return when the last event was recorded."""

    def close(self) -> None:
        """Give back what was opened."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """How one bay was seen last."""

    path: Path
    board: Board | None
    """None: it was never read."""
    at: Instant
    """When it was seen, on the bay's time line."""
    apart: int
    """Wall clock minus time line, in milliseconds."""
    running: int
    """The running clock then."""
    trouble: NotFollowed | None = None
    since: Instant | None = None
    """Since when it is not followed; None where it is, or where that is not known."""

    def now(self, reading: Reading) -> Instant:
        """Return the instant of `reading` on the bay's time line."""
        return later(self.at, Span(max(0, reading.running - self.running)))

    def seen_at(self, reading: Reading) -> Sight:
        """Return it as it stands at `reading`: a look that never comes back is told."""
        gone = reading.running - self.running
        if self.trouble is not None or gone < NO_ANSWER_FROM or self.board is None:
            return self
        return replace(self, trouble=NotFollowed.NO_ANSWER, since=self.at)


class Lookout:
    """Looks on at one bay, again and again.

    Args:
        path: its journal, or the station file.
        open_it: opens it to be looked at.
        clock: tells how long ago something was seen.
    """

    def __init__(self, path: Path, open_it: Callable[[Path], Looking], clock: Clock) -> None:
        self._path, self._open, self._clock = path, open_it, clock
        self._looking: Looking | None = None
        self._place: tuple[int, int] | None = None
        self._is_lost = False
        self._tried: int | None = None
        self._asked: int | None = None
        self._kept: bool | None = None
        reading = clock.read()
        self.seen = Sight(
            path=path, board=None, at=Instant(reading.wall), apart=0, running=reading.running
        )
        """How it was seen last; a value, to be read from any thread."""

    def look(self) -> None:
        """Look once; what cannot be seen is told in `seen`, and nothing is raised for it."""
        reading = self._clock.read()
        if self._is_lost and not self._is_time(self._tried, reading):
            self._lost_still(reading)
            return
        self._tried = reading.running
        try:
            news = self._news()
        except FileNotFoundError:
            self._lose(NotFollowed.FILE_GONE, reading)
        except LinkLostError:
            # It goes on with the same one: a new one would begin with what it has, as if it followed.
            self._lose(NotFollowed.LINK_LOST, reading, is_opened_anew=False)
        except (ReadbellError, OSError):
            self._lose(NotFollowed.UNREADABLE, reading)
        else:
            self._see(news, reading)

    def close(self) -> None:
        """Look no more."""
        if self._looking is not None:
            self._looking.close()
            self._looking = None

    def _news(self) -> News:
        place = self._path.stat()
        found = (place.st_dev, place.st_ino)
        if self._looking is not None and found != self._place:
            self.close()  # another file stands there now, as after an erasing
        if self._looking is None:
            self._looking, self._place, self._asked = self._open(self._path), found, None
        return self._looking.look()

    def _see(self, news: News, reading: Reading) -> None:
        self._is_lost = False
        trouble, since = self._trouble_in(news, reading), None
        if trouble is not None:
            since = None if self.seen.trouble is None else self.seen.since
            since = self._began(news) if since is None else since
        self.seen = Sight(
            path=self._path,
            board=news.board,
            at=news.at,
            apart=news.wall - news.at,
            running=reading.running,
            trouble=trouble,
            since=since,
        )

    def _began(self, news: News) -> Instant:
        """Return since when what is seen now is no longer followed."""
        if self.seen.board is not None:
            return self.seen.at
        # Found so: nothing is known to have been done since the last event.
        recorded = None if self._looking is None else self._looking.recorded_at()
        return news.at if recorded is None else recorded

    def _trouble_in(self, news: News, reading: Reading) -> NotFollowed | None:
        if news.not_saved is not None:
            return NotFollowed.NOT_SAVED
        if news.around is not None and news.around.alone is not None:
            return NotFollowed.ALONE
        if self._is_time(self._asked, reading) and self._looking is not None:
            self._asked, self._kept = reading.running, self._looking.is_kept()
        return NotFollowed.PROGRAM_GONE if self._kept is False else None

    def _lose(self, trouble: NotFollowed, reading: Reading, *, is_opened_anew: bool = True) -> None:
        if is_opened_anew:
            self.close()
        self._is_lost = True
        seen = self.seen
        since = seen.since
        if since is None and seen.board is not None:
            since = seen.at
        self.seen = replace(seen, trouble=trouble, since=since)
        self._lost_still(reading)

    def _lost_still(self, reading: Reading) -> None:
        """Go on counting from what was seen last."""
        self.seen = replace(self.seen, at=self.seen.now(reading), running=reading.running)

    @staticmethod
    def _is_time(before: int | None, reading: Reading) -> bool:
        return before is None or reading.running - before >= AGAIN_EACH
