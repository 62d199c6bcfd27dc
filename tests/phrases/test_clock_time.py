"""Clock times as people read them: local, whole seconds, and never too early for what opens."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import readbell
from readbell.core.instant import Instant
from readbell.phrases.clock_time import ClockFace, time_of_day

LONDON = ClockFace(zone=ZoneInfo("Europe/London"))


def instant(text: str) -> Instant:
    """The instant of an ISO time, in UTC milliseconds."""
    return Instant(round(datetime.fromisoformat(text).timestamp() * 1000))


@pytest.mark.parametrize(
    ("utc", "shown"),
    [
        # Clocks in Britain go forward at 01:00 UTC on 29 March 2026 (common practice).
        pytest.param("2026-03-29T00:59:59+00:00", "00:59:59", id="before the clocks change"),
        pytest.param("2026-03-29T01:00:00+00:00", "02:00:00", id="as the clocks change"),
        # And back at 01:00 UTC on 25 October 2026.
        pytest.param("2026-10-25T00:30:00+00:00", "01:30:00+01:00", id="the first half past one"),
        pytest.param("2026-10-25T01:30:00+00:00", "01:30:00+00:00", id="the second half past one"),
    ],
)
def test_times_are_the_sites_own(utc: str, shown: str) -> None:
    """People compare them with the clock on the wall."""
    assert LONDON.time(instant(utc)) == shown


@pytest.mark.parametrize(
    ("utc", "shown"),
    [
        ("2026-10-25T00:30:00+00:00", "01:30:00+01:00"),
        ("2026-10-25T01:30:00+00:00", "01:30:00+00:00"),
    ],
    ids=["the first half past one", "the second"],
)
def test_for_a_record_the_offset_stands_beside(utc: str, shown: str) -> None:
    """Once a year two different instants have the same clock time."""
    assert LONDON.local(instant(utc)).isoformat(timespec="seconds").partition("T")[2] == shown


@pytest.mark.parametrize(
    ("utc", "down", "up"),
    [
        pytest.param("2026-01-05T14:38:12.000+00:00", "14:38:12", "14:38:12", id="a whole second"),
        pytest.param("2026-01-05T14:38:12.001+00:00", "14:38:12", "14:38:13", id="just after"),
        pytest.param("2026-01-05T14:38:12.999+00:00", "14:38:12", "14:38:13", id="just before"),
        pytest.param("2026-01-05T23:59:59.500+00:00", "23:59:59", "00:00:00", id="at midnight"),
    ],
)
def test_what_opens_is_shown_rounded_up_and_what_closes_down(utc: str, down: str, up: str) -> None:
    """Whoever comes at the shown time of an opening finds it open, of a close still open."""
    assert (LONDON.time(instant(utc)), LONDON.time_from(instant(utc))) == (down, up)


@settings(max_examples=80, deadline=None)
@given(at=st.integers(0, 4_000_000_000_000), apart=st.integers(-10_000, 10_000))
def test_the_time_shown_from_is_the_first_whole_second_not_before(at: int, apart: int) -> None:
    """However far the wall clock is off, the shown second is never too early nor two late."""
    face = ClockFace(zone=UTC, apart=apart)
    shown = face.time_from(Instant(at))
    wall = at + apart
    first = -(-wall // 1000)

    assert shown == datetime.fromtimestamp(first, tz=UTC).strftime("%H:%M:%S")


def test_the_wall_clock_is_the_time_line_and_how_far_they_are_apart() -> None:
    """The line is never stepped; people read the wall."""
    at = instant("2026-01-05T14:00:00+00:00")

    assert ClockFace(zone=UTC, apart=90_000).time(at) == "14:01:30"
    assert ClockFace(zone=UTC, apart=-90_000).time(at) == "13:58:30"


@pytest.mark.parametrize(
    ("utc", "shown"),
    [
        pytest.param("2026-10-25T00:30:00+00:00", "01:30:00+01:00", id="the first time"),
        pytest.param("2026-10-25T01:30:00+00:00", "01:30:00+00:00", id="the second time"),
        pytest.param("2026-10-25T02:00:00+00:00", "02:00:00", id="after it"),
        pytest.param("2026-10-24T23:59:59+00:00", "00:59:59", id="before it"),
    ],
)
def test_in_the_hour_that_comes_twice_a_time_carries_its_offset(utc: str, shown: str) -> None:
    """Half past one is two different instants that night, and a window may lie between them."""
    assert LONDON.time(instant(utc)) == shown


def test_each_instant_is_shown_as_the_wall_clock_showed_it_then() -> None:
    """A clock that was set at noon says nothing else about the morning, then or later."""
    noon = instant("2026-01-05T12:00:00+00:00")
    face = ClockFace(zone=UTC, apart=1_000, jumps=((noon, 3_600_000), (Instant(noon + 1), -60_000)))

    assert face.time(Instant(noon - 1_000)) == "12:00:00"
    assert face.time(noon) == "13:00:01"
    assert face.time(Instant(noon + 1_000)) == "12:59:02"
    assert face.time_from(Instant(noon - 1_500)) == "12:00:00"


@pytest.mark.parametrize(
    ("utc", "shown"),
    [
        pytest.param("2026-10-25T00:30:59+00:00", "01:30+01:00", id="the first time"),
        pytest.param("2026-10-25T01:30:59+00:00", "01:30+00:00", id="the second time"),
        pytest.param("2026-10-25T02:00:00+00:00", "02:00", id="after it"),
        pytest.param("2026-03-29T01:00:00+00:00", "02:00", id="as clocks go forward"),
    ],
)
def test_a_time_to_the_minute_carries_its_offset_in_that_hour_too(utc: str, shown: str) -> None:
    """An hour apart is no small thing where seconds are left out as small."""
    assert LONDON.minute(instant(utc)) == shown
    assert time_of_day(LONDON.local(instant(utc)), "minutes") == shown


def test_no_time_of_an_event_is_written_without_regard_to_the_hour_that_comes_twice() -> None:
    """Whoever writes one by a pattern of their own would leave the offset out that night."""
    package = Path(readbell.__file__).parent
    by_themselves = {
        each.relative_to(package).as_posix()
        for each in package.rglob("*.py")
        if "%H:%M" in each.read_text(encoding="utf-8")
    }
    # The clock that goes, what is typed off a sheet of paper, and a slip, which always says how
    # far from UTC its times are.
    assert by_themselves == {
        "hand/paper_form.py",
        "phrases/slip_words.py",
        "ui/header.py",
        "ui/wall_head.py",
    }
