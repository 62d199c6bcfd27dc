"""The site's own day: a lot is good through the end of its date, where the bay stands."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from builders import span
from readbell.bay.site_time import day_ends, site_date, time_zone, zones_like
from readbell.core.errors import ReadbellError
from readbell.core.refusal import RefusalCode

if TYPE_CHECKING:
    from bay.conftest import HandClock, Place


def wall(text: str) -> int:
    """UTC milliseconds of an ISO instant."""
    return round(datetime.fromisoformat(text).astimezone(UTC).timestamp() * 1000)


@pytest.mark.parametrize(
    ("instant", "zone", "day"),
    [
        pytest.param("2026-12-31T23:59:59.999+00:00", "UTC", date(2026, 12, 31), id="last ms"),
        pytest.param("2027-01-01T00:00:00+00:00", "UTC", date(2027, 1, 1), id="midnight"),
        pytest.param(
            "2026-12-31T11:00:00+00:00", "Pacific/Auckland", date(2027, 1, 1), id="east of here"
        ),
        pytest.param(
            "2027-01-01T07:59:59+00:00", "America/Los_Angeles", date(2026, 12, 31), id="west"
        ),
        # Clocks in Britain go forward at 01:00 UTC on 29 March 2026 (common practice).
        pytest.param(
            "2026-03-29T22:59:59+00:00", "Europe/London", date(2026, 3, 29), id="summer time"
        ),
        pytest.param(
            "2026-03-29T23:00:00+00:00", "Europe/London", date(2026, 3, 30), id="summer midnight"
        ),
    ],
)
def test_the_day_is_that_of_the_site(instant: str, zone: str, day: date) -> None:
    """A calendar on the wall decides, not the one of the computer's maker."""
    assert site_date(wall(instant), time_zone(zone)) == day


@pytest.mark.parametrize(
    "name",
    [
        pytest.param("Nowhere/Bay", id="no such place"),
        pytest.param("", id="nothing"),
        pytest.param("../../etc/passwd", id="a path"),
        pytest.param("Europe", id="a folder of zones"),
        pytest.param("Europe/London\0", id="a null byte"),
        pytest.param("x" * 300, id="far too long"),
    ],
)
def test_an_unknown_zone_is_refused_with_what_to_write(name: str) -> None:
    """A slip in a file is told in one sentence, whatever was written."""
    with pytest.raises(ReadbellError, match="is not known: use a name such as Europe/London"):
        time_zone(name)


@pytest.mark.parametrize(
    ("instant", "code"),
    [
        pytest.param("2026-12-31T23:59:59.999+13:00", None, id="the last moment of its day"),
        pytest.param("2027-01-01T00:00:00+13:00", RefusalCode.LOT_EXPIRED, id="midnight there"),
    ],
)
async def test_a_lot_expires_at_the_midnight_of_the_site(
    place: Place, no_clock: HandClock, instant: str, code: RefusalCode | None
) -> None:
    """Where the day ends first, the box is out of date first."""
    no_clock.wall = wall(instant)
    work = await place.take_up(no_clock, timezone="Pacific/Auckland")
    await work.prepare()
    answer = await work.enter(work.label())

    assert (None if answer.refusal is None else answer.refusal.code) is code


async def test_a_wall_clock_put_right_decides_which_day_it_is(
    place: Place, no_clock: HandClock
) -> None:
    """Expiry follows the calendar people see, not the time line that is never stepped."""
    no_clock.wall = wall("2027-01-01T06:00:00+00:00")
    work = await place.take_up(no_clock)
    await work.prepare()
    no_clock.wall -= span("12:00:00")

    assert (await work.enter(work.label())).accepted


@pytest.mark.parametrize(
    ("place", "zones"),
    [
        ("berlin", ("Europe/Berlin",)),
        ("new york", ("America/New_York",)),
        ("europe/london", ("Europe/London",)),
        ("Louisville", ("America/Kentucky/Louisville", "America/Louisville")),
        ("Germany", ()),
        ("", ()),
    ],
)
def test_a_time_zone_is_found_by_its_city(place: str, zones: tuple[str, ...]) -> None:
    """However it is written; a country may have several, and is guessed by nobody."""
    assert zones_like(place) == zones


def test_a_day_ends_where_the_site_is() -> None:
    """Whatever its clocks do that night; of a day that no clock reaches nothing breaks."""
    london = time_zone("Europe/London")
    assert day_ends(date(2026, 3, 28), london) == wall("2026-03-29T00:00:00+00:00")
    assert day_ends(date(2026, 3, 29), london) == wall("2026-03-29T23:00:00+00:00")
    assert day_ends(date(2026, 3, 29), UTC) == wall("2026-03-30T00:00:00+00:00")
    assert day_ends(date.min, time_zone("Pacific/Auckland")) < day_ends(
        date.max, time_zone("America/Los_Angeles")
    )
