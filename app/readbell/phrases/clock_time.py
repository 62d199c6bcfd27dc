"""The bay's time line as people read it: local time, with its offset where that helps."""

from __future__ import annotations

from bisect import bisect_right
from datetime import UTC, datetime, timedelta, tzinfo
from typing import Literal

from readbell.core.instant import SECOND, Instant
from readbell.core.made_later import dataclass

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def time_of_day(local: datetime, to_the: Literal["seconds", "minutes"] = "seconds") -> str:
    """Return the clock time of `local`; in the hour that comes twice it carries its offset."""
    said = local.isoformat(timespec=to_the)[11:]
    comes_twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
    return said if comes_twice else said[: len("00:00:00" if to_the == "seconds" else "00:00")]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockFace:
    """How an instant is shown at one site.

    The time line is never stepped but the wall clock may have been, so what
    people read is the line plus how far the two are apart right now. Of what lies
    back that may be another distance than today's: `jumps` then say since when.
    """

    zone: tzinfo
    apart: int = 0
    """Wall clock minus time line, in milliseconds; with `jumps`, before the first of them."""
    jumps: tuple[tuple[Instant, int], ...] = ()
    """From which instant on the wall clock went how much further, the first first."""

    def local(self, at: Instant) -> datetime:
        """Return `at` as local time with its offset."""
        return (_EPOCH + timedelta(milliseconds=self.wall(at))).astimezone(self.zone)

    def wall(self, at: Instant) -> int:
        """Return what the wall clock said at `at`, in UTC milliseconds since 1970."""
        return at + self._apart(at)

    def time(self, at: Instant) -> str:
        """Return the clock time of `at`, such as 14:38:12.

        In the hour that comes twice when clocks go back it carries its offset.
        """
        return time_of_day(self.local(at))

    def minute(self, at: Instant) -> str:
        """Return the same to the minute, such as 14:38."""
        return time_of_day(self.local(at), "minutes")

    def time_from(self, at: Instant) -> str:
        """Return the first whole second that is not before `at`: what opens then is open."""
        apart = self._apart(at)
        return self.time(Instant(-(-(at + apart) // SECOND) * SECOND - apart))

    def _apart(self, at: Instant) -> int:
        so_many = bisect_right(self.jumps, at, key=lambda each: each[0])
        return self.apart + sum(by for _, by in self.jumps[:so_many])
