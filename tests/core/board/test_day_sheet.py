"""A day sheet has everything that happened in its shift, and nothing of another."""

from __future__ import annotations

from typing import TYPE_CHECKING

from builders import FAINT, NEGATIVE, at
from core.board.shift_bench import ShiftBench
from readbell.core.board.day_sheet import make_day_sheet
from readbell.core.board.events import ActRefused
from readbell.core.cartridge.acts import TakeBackStep
from readbell.core.cartridge.events import TakeBackReason
from readbell.core.climate.acts import NoteTemperature
from readbell.core.climate.events import Where
from readbell.core.refusal import RefusalCode

if TYPE_CHECKING:
    from readbell.core.board.event import Event


def refusal(code: RefusalCode) -> ActRefused:
    """A near miss of somebody unknown."""

    return ActRefused(
        at=at("9:00"), by=None, act="label", code=code, cartridge=None, entered=None, bands=None
    )


def test_what_ran_over_from_the_shift_before_stands_behind_its_own() -> None:
    """And what was over before it is not on it at all."""
    bench = ShiftBench()
    bench.open_shift()
    bench.must(bench.label_act("C1"))
    bench.must(bench.void_act("C1"))
    bench.to_well("C2", "P-002")
    bench.close_shift("4:00", "handed over")
    bench.open_shift("5:00")
    events: list[Event] = []
    for act, now in (
        (NoteTemperature(by="op-1", where=Where.BAY, celsius=21.0), "5:00"),
        (bench.label_act("C1"), "6:00"),
        (bench.read_act(FAINT, "C2", by="op-2"), "18:00"),
        (NoteTemperature(by="op-1", where=Where.BAY, celsius=33.0), "19:00"),
    ):
        events += bench.must(act, now)
    events += [refusal(RefusalCode.TOO_EARLY), refusal(RefusalCode.WRONG_PERSON)]
    events += [refusal(RefusalCode.WRONG_PERSON)]
    running = bench.board.shift_book.running
    assert running is not None
    sheet = make_day_sheet(bench.board, running, events, None)

    assert [each.label for each in sheet.cartridges] == ["C1", "C2"]
    assert [each.label for each in sheet.held] == ["C2"]
    assert sheet.near_misses == ((RefusalCode.WRONG_PERSON, 2), (RefusalCode.TOO_EARLY, 1))
    assert sheet.operators == ("key-op-1", "key-op-2")
    assert [each.celsius for each in sheet.temperatures] == [21.0, 33.0]
    assert [(each.lot, each.repeats) for each in sheet.lots] == [("L-100", 1)]


def test_what_was_confirmed_by_mistake_and_mended_stands_on_it() -> None:
    """With the cartridge, in the order in which it was taken back; it is no near miss."""
    bench = ShiftBench()
    bench.open_shift()
    bench.to_well("C1")
    events: list[Event] = []
    for step, now in (("apply", "3:00"), ("withdraw", "3:10")):
        act = TakeBackStep(aim=bench.aim(), step=step, reason=TakeBackReason.NOT_DONE)
        events += bench.must(act, now)
    running = bench.board.shift_book.running
    assert running is not None
    sheet = make_day_sheet(bench.board, running, events, None)

    assert [(cartridge.label, each.steps) for cartridge, each in sheet.taken_back] == [
        ("C1", ("apply",)),
        ("C1", ("withdraw",)),
    ]
    assert sheet.near_misses == ()


def test_a_closed_shift_counts_no_stock_of_the_time_after_it() -> None:
    """The sheet that was signed stays what it was."""
    bench = ShiftBench()
    bench.open_shift()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    bench.close_shift("19:00")
    bench.open_shift("20:00")
    bench.must(bench.label_act("C1", "P-002"), "21:00")
    shift = bench.board.shift_book.last
    assert shift is not None
    sheet = make_day_sheet(bench.board, shift, (), None)

    assert [(each.lot, each.patients) for each in sheet.lots] == [("L-100", 1)]
    assert sheet.cartridges == ()
