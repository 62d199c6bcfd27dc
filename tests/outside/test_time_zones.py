"""Time on the wall agrees with the time zone database as the standard library reads it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from readbell.bay.site_time import site_date
from readbell.core.instant import Instant
from readbell.phrases.clock_time import ClockFace
from rehearsal.scenario_text import clock
from rehearsal.story import Story, cartridge

if TYPE_CHECKING:
    from pathlib import Path

# The IANA time zone database, by way of zoneinfo: these clocks jump, at these hours of UTC.
JUMPS = [
    pytest.param("Europe/London", datetime(2026, 3, 29, 1, tzinfo=UTC), id="London, forward"),
    pytest.param("Europe/London", datetime(2026, 10, 25, 1, tzinfo=UTC), id="London, back"),
    pytest.param("America/St_Johns", datetime(2026, 3, 8, 5, 30, tzinfo=UTC), id="St John's"),
    pytest.param(
        "Australia/Lord_Howe", datetime(2026, 4, 4, 15, tzinfo=UTC), id="Lord Howe, half an hour"
    ),
]
ZONES = ["Europe/London", "America/St_Johns", "Australia/Lord_Howe", "Asia/Kathmandu", "UTC"]
YEAR_2026 = 1_767_225_600_000
YEAR = 365 * 86_400_000


@pytest.mark.parametrize(("zone", "jump"), JUMPS)
def test_the_wall_clock_really_jumps_there(zone: str, jump: datetime) -> None:
    """A row that lies beside the jump would let the tests below pass for nothing."""
    before = (jump - timedelta(seconds=1)).astimezone(ZoneInfo(zone)).utcoffset()

    assert jump.astimezone(ZoneInfo(zone)).utcoffset() != before


@pytest.mark.parametrize(("zone", "jump"), JUMPS)
def test_a_development_across_a_jump_lasts_as_long_as_in_utc(
    zone: str, jump: datetime, tmp_path: Path
) -> None:
    """The strip knows no summer time: 15 minutes are read as 900 seconds."""
    starts = jump - timedelta(minutes=10)
    story = Story(starts=starts.astimezone(ZoneInfo(zone)).isoformat(), timezone=zone)

    report = story.on_the_well().read("17:00").play(tmp_path)

    read = datetime.fromtimestamp(starts.timestamp() + cartridge(report)["read_s"], ZoneInfo(zone))
    drops = datetime.fromtimestamp(
        starts.timestamp() + cartridge(report)["applied_s"], ZoneInfo(zone)
    )
    assert cartridge(report)["elapsed_s"] == read.timestamp() - drops.timestamp() == 900.0
    # Local times without their offsets differ by something else: that is the trap.
    assert read.replace(tzinfo=None) - drops.replace(tzinfo=None) != timedelta(seconds=900)


@settings(max_examples=200, deadline=None)
@given(wall=st.integers(YEAR_2026, YEAR_2026 + YEAR), zone=st.sampled_from(ZONES))
def test_a_clock_face_shows_what_the_zone_shows(wall: int, zone: str) -> None:
    """What people read on the screen and on the wall must be the same."""
    there = datetime.fromtimestamp(wall // 1000, ZoneInfo(zone))
    face = ClockFace(zone=ZoneInfo(zone))

    assert face.time(Instant(wall))[:8] == there.strftime("%H:%M:%S")
    assert face.local(Instant(wall)).replace(microsecond=0).isoformat() == there.isoformat()


@settings(max_examples=200, deadline=None)
@given(wall=st.integers(YEAR_2026, YEAR_2026 + YEAR), zone=st.sampled_from(ZONES))
def test_the_date_of_the_site_is_that_of_its_zone(wall: int, zone: str) -> None:
    """Expiry dates turn at the site's own midnight."""
    there = datetime.fromtimestamp(wall // 1000, ZoneInfo(zone))

    assert site_date(wall, ZoneInfo(zone)) == there.date()


@pytest.mark.parametrize(("zone", "jump"), JUMPS)
@pytest.mark.parametrize(
    "more", [pytest.param(-1, id="last millisecond"), pytest.param(0, id="midnight")]
)
def test_a_lot_expires_at_the_midnight_that_zoneinfo_gives(
    zone: str, jump: datetime, more: int, tmp_path: Path
) -> None:
    """The day of a jump is longer or shorter than 24 hours, and its midnight moves in UTC."""
    place = ZoneInfo(zone)
    today = jump.astimezone(place).date()
    midnight = datetime.combine(today + timedelta(days=1), datetime.min.time(), place)
    starts = midnight.astimezone(UTC) - timedelta(minutes=10)
    story = Story(starts=starts.isoformat(), timezone=zone, expires=today.isoformat())

    report = story.label(clock(600_000 + more)).play(tmp_path)

    assert report["acts"][-1]["refusal"] == ("lot-expired" if more == 0 else None)
