"""Where a record may be cut: after whole shifts, with nothing running."""

from __future__ import annotations

from dataclasses import replace

from builders import NEGATIVE, at
from journal.samples import Day
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.closed_period import NOTHING_CLOSED, ClosedPeriod
from readbell.core.cartridge.events import CartridgeRead, ReadingKind
from readbell.core.shift.events import ShiftClosed, ShiftOpened


def found_in(day: Day, in_time: int | None = None) -> int:
    """Return how many events the longest closed period of `day` has."""
    period = ClosedPeriod()
    for number, event in enumerate(day.events, 1):
        period.see(event, in_time=in_time is None or number <= in_time)
    return period.found.events


def test_a_record_with_nothing_in_time_has_no_closed_period() -> None:
    """The first day has not ended."""
    assert found_in(Day(), 0) == 0
    assert NOTHING_CLOSED.events == 0


def test_it_ends_before_the_first_event_that_is_too_late() -> None:
    """Whatever a clock says after it."""
    day = Day()
    period = ClosedPeriod()
    for number, event in enumerate(day.events, 1):
        period.see(event, in_time=number != 4)
    assert period.found.events == 3
    assert period.found.through == day.events[2].at


def test_a_cartridge_that_runs_belongs_to_no_closed_period() -> None:
    """Half of its story would be in the file and half not."""
    day = Day()
    before = len(day.events)
    day.to_well()
    assert found_in(day) == before
    day.must(day.read_act(NEGATIVE), "18:00")
    assert found_in(day) == len(day.events)


def test_a_strip_that_somebody_else_is_to_read_yet_belongs_to_none() -> None:
    """Nothing has come of it so far."""
    day = Day()
    before = len(day.events)
    day.to_well()
    day.must(day.read_act(NEGATIVE), "18:00")
    first = day.events.pop()
    assert isinstance(first, CartridgeRead)
    day.events.append(replace(first, second=SecondReader.ALL))
    assert found_in(day) == before
    day.events.append(replace(first, kind=ReadingKind.SECOND))
    assert found_in(day) == len(day.events)


def test_a_shift_that_is_open_belongs_to_none() -> None:
    """It is closed whole."""
    day = Day()
    before = len(day.events)
    day.events.append(ShiftOpened(at=at("1:00"), by="key-op-1", number=1, checks=()))
    assert found_in(day) == before
    day.events.append(ShiftClosed(at=at("2:00"), by="key-op-1", number=1, left=()))
    assert found_in(day) == len(day.events)
