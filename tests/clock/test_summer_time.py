"""Twice a year the local clock lies about elapsed time; the bay's line does not.

Held to the time zone database: in London summer time began on 29 March 2026 at
01:00 UTC and ended on 25 October 2026 at 01:00 UTC (IANA tz, Europe/London).
"""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from readbell.clock.anchor import anchor
from readbell.clock.clock import Reading
from readbell.core.instant import MINUTE, Instant, between, later

LONDON = ZoneInfo("Europe/London")


def local(month: int, day: int, hour: int, minute: int, fold: int = 0) -> Instant:
    """Return the instant of a time on the wall in London; fold 1 is the second of its kind."""
    on_the_wall = datetime(2026, month, day, hour, minute, tzinfo=LONDON, fold=fold)
    return Instant(int(on_the_wall.timestamp() * 1000))


def shown(at: Instant) -> str:
    """Return what a clock in London shows at `at`, with its offset."""
    return datetime.fromtimestamp(at / 1000, UTC).astimezone(LONDON).strftime("%H:%M%z")


CASES = [
    pytest.param(local(3, 29, 0, 55), local(3, 29, 2, 10), 15, id="spring, an hour is left out"),
    pytest.param(local(3, 29, 0, 59), local(3, 29, 2, 0), 1, id="spring, the very edge"),
    pytest.param(local(10, 25, 1, 50), local(10, 25, 1, 5, fold=1), 15, id="autumn, seems back"),
    pytest.param(local(10, 25, 1, 0), local(10, 25, 1, 0, fold=1), 60, id="autumn, same time"),
    pytest.param(local(10, 25, 0, 50), local(10, 25, 2, 10), 140, id="autumn, the whole hour"),
]


@pytest.mark.parametrize(("start", "end", "minutes"), CASES)
def test_elapsed_time_is_true_across_the_edges_of_summer_time(
    start: Instant, end: Instant, minutes: int
) -> None:
    """Taken from the wall, a wait of a quarter of an hour would be 75 or -45 minutes."""
    assert between(start, end) == minutes * MINUTE


@pytest.mark.parametrize(("start", "end", "minutes"), CASES)
def test_a_restart_across_the_edge_takes_its_true_time(
    start: Instant, end: Instant, minutes: int
) -> None:
    """The wall clock that bridges a restart is the one in UTC."""
    before = Reading(wall=start, counting=9_000_000, running=0, boot="boot-1")
    now = Reading(wall=end, counting=40_000, running=0, boot="boot-2")
    last = anchor(None, before).moment(before)

    joined = anchor(last, now)

    assert joined.sure
    assert between(last.at, joined.instant(now)) == minutes * MINUTE


def test_a_window_that_opens_in_the_hour_left_out_opens_after_it() -> None:
    """Applied at 00:55, read at 02:10: the sheet on the wall must say so, with its offset."""
    applied = local(3, 29, 0, 55)

    opens = later(applied, MINUTE)
    assert shown(opens) == "00:56+0000"
    assert shown(Instant(applied + 15 * MINUTE)) == "02:10+0100"


def test_the_hour_that_comes_twice_is_told_apart_by_its_offset() -> None:
    """Two readings at 01:05 an hour apart must not look like one."""
    first, second = local(10, 25, 1, 5), local(10, 25, 1, 5, fold=1)

    assert (shown(first), shown(second)) == ("01:05+0100", "01:05+0000")
    assert between(first, second) == 60 * MINUTE
