"""The bay's time line as people read it: local time, with its offset where that helps."""

from __future__ import annotations

from bisect import bisect_right
from datetime import UTC, datetime, timedelta, tzinfo

from readbell.core.instant import SECOND, Instant
from readbell.core.made_later import dataclass

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


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
        return (_EPOCH + timedelta(milliseconds=at + self._apart(at))).astimezone(self.zone)

    def time(self, at: Instant) -> str:
        """Return the clock time of `at`, such as 14:38:12.

        In the hour that comes twice when clocks go back it carries its offset.
        """
        local = self.local(at)
        comes_twice = local.replace(fold=0).utcoffset() != local.replace(fold=1).utcoffset()
        return local.isoformat(timespec="seconds")[11:] if comes_twice else f"{local:%H:%M:%S}"

    def time_from(self, at: Instant) -> str:
        """Return the first whole second that is not before `at`: what opens then is open."""
        apart = self._apart(at)
        return self.time(Instant(-(-(at + apart) // SECOND) * SECOND - apart))

    def _apart(self, at: Instant) -> int:
        so_many = bisect_right(self.jumps, at, key=lambda each: each[0])
        return self.apart + sum(by for _, by in self.jumps[:so_many])
