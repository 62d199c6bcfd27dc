"""What is left of a lot, how long it is good, and whether its kits are warm."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from builders import at, span
from readbell.core.stock.events import Storage
from readbell.core.stock.lot import Lot, WhyHeld
from readbell.core.stock.warming import is_cold, must_warm, warm_from

LOT = Lot(number="L-100", assay="hash", expires=date(2026, 12, 31), units=20)
HALF_AN_HOUR = span("30:00")
"""Stored below 15 C, about 30 minutes at room temperature: a leaflet of a self-test, reproduced
by a shop (read there, not in the leaflet itself)."""


@pytest.mark.parametrize(
    ("used", "lost", "drift", "left"),
    [
        pytest.param(3, 0, 0, 17, id="labelled"),
        pytest.param(3, 2, 0, 15, id="and written off"),
        pytest.param(3, 2, -1, 14, id="and a count found one fewer"),
        pytest.param(3, 2, 4, 19, id="and a count found more"),
        pytest.param(20, 0, 0, 0, id="all labelled"),
        pytest.param(18, 2, 0, 0, id="the rest written off"),
    ],
)
def test_what_is_left_follows_from_what_happened(
    used: int, lost: int, drift: int, left: int
) -> None:
    """Each unit is labelled, written off, found or missed at a count; nothing else."""
    lot = replace(LOT, used=used, lost=lost, drift=drift)

    assert lot.left == left
    assert lot.is_used_up is (left == 0)


def test_a_lot_that_nobody_counts_is_never_used_up() -> None:
    """What was written off of it does not make it empty either."""
    lot = replace(LOT, units=None, used=99, lost=9)

    assert lot.left is None
    assert not lot.is_used_up


@pytest.mark.parametrize(
    ("opened", "days", "good_until"),
    [
        pytest.param(None, 30, date(2026, 12, 31), id="not opened yet"),
        pytest.param(date(2026, 3, 1), None, date(2026, 12, 31), id="no limit stated"),
        pytest.param(date(2026, 3, 1), 30, date(2026, 3, 31), id="opened"),
        pytest.param(date(2026, 12, 20), 30, date(2026, 12, 31), id="its own day comes first"),
        pytest.param(date(2026, 3, 1), 0, date(2026, 3, 1), id="good on the day alone"),
    ],
)
def test_an_opened_box_is_good_until_the_sooner_of_two_days(
    opened: date | None, days: int | None, good_until: date
) -> None:
    """The day on the box, or so many days after it was opened."""
    assert replace(LOT, opened_on=opened, good_after_opening=days).good_until == good_until


@pytest.mark.parametrize("why", list(WhyHeld))
def test_only_a_recall_is_a_recall(why: WhyHeld) -> None:
    """A lot that was held for something else is released with any reason."""
    assert replace(LOT, on_hold=True, held_for=why).is_recalled is (why is WhyHeld.RECALLED)


@pytest.mark.parametrize(
    ("storage", "taken_out", "now", "cold"),
    [
        pytest.param(Storage.ROOM, None, "0:00", False, id="never kept cold"),
        pytest.param(None, None, "0:00", False, id="nobody said where it is kept"),
        pytest.param(Storage.COLD, None, "9:00:00", True, id="still in the cold"),
        pytest.param(Storage.COLD, "1:00", "30:59.999", True, id="a millisecond too soon"),
        pytest.param(Storage.COLD, "1:00", "31:00", False, id="warm to the millisecond"),
    ],
)
def test_a_kit_is_cold_until_its_whole_time_has_passed(
    storage: Storage | None, taken_out: str | None, now: str, cold: bool
) -> None:
    """A strip that is run cold develops slowly, and a negative may come of it that is none."""
    out = None if taken_out is None else at(taken_out)
    lot = replace(LOT, storage=storage, taken_out=out)

    assert is_cold(lot, HALF_AN_HOUR, at(now)) is cold


def test_an_assay_that_asks_for_no_warming_has_no_cold_kits() -> None:
    """Its leaflet lets a kit be used straight from the store."""
    lot = replace(LOT, storage=Storage.COLD, taken_out=at("0:00"))

    assert not must_warm(lot, None)
    assert not is_cold(lot, None, at("0:00"))
    assert warm_from(lot, None) is None
