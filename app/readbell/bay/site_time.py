"""The site's own date, for expiry dates; arithmetic stays in UTC."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo, available_timezones

from readbell.core.errors import ReadbellError
from readbell.core.instant import Instant

if TYPE_CHECKING:
    from datetime import tzinfo

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_LATEST = date(9998, 12, 31)


def time_zone(name: str) -> ZoneInfo:
    """Return the time zone called `name`.

    Raises:
        ReadbellError: no such zone is known.
    """
    try:
        return ZoneInfo(name)
    except (LookupError, ValueError, OSError):
        msg = f"time zone {name!r} is not known: use a name such as Europe/London"
        raise ReadbellError(msg) from None


def knows_zone(name: str) -> bool:
    """Say whether a time zone is called `name`."""
    try:
        time_zone(name)
    except ReadbellError:
        return False
    return True


def zones_like(place: str) -> tuple[str, ...]:
    """Return the time zones that are named after `place`, however its letters and blanks are written."""
    sought = place.casefold().replace(" ", "_")
    return tuple(
        sorted(
            name
            for name in available_timezones()
            if sought and sought in (name.casefold(), name.casefold().rpartition("/")[2])
        )
    )


def day_began(now: Instant, wall: int, zone: tzinfo) -> Instant:
    """Return when the calendar day in `zone` began that it is at `wall`, on the bay's time line.

    Args:
        now: where the bay's time line stands at that moment.
        wall: UTC milliseconds since 1970.
        zone: the site's own.
    """
    midnight = datetime.combine(site_date(wall, zone), time(), zone).astimezone(UTC)
    return Instant(now - (wall - (midnight - EPOCH) // timedelta(milliseconds=1)))


def day_ends(day: date, zone: tzinfo) -> int:
    """Return when `day` ends in `zone`, in UTC milliseconds since 1970."""
    # Days on which nothing can be begun are held to those at which a zone can be worked out.
    within = min(max(day, EPOCH.date()), _LATEST)
    midnight = datetime.combine(within + timedelta(days=1), time(), zone).astimezone(UTC)
    return (midnight - EPOCH) // timedelta(milliseconds=1)


def site_date(wall: int, zone: tzinfo) -> date:
    """Return the calendar day in `zone` at `wall`, UTC milliseconds since 1970."""
    return site_time(wall, zone).date()


def site_time(wall: int, zone: tzinfo) -> datetime:
    """Return what a clock in `zone` says at `wall`, UTC milliseconds since 1970."""
    return (EPOCH + timedelta(milliseconds=wall)).astimezone(zone)
