"""The opening list is made from what is due, and the closing list from what is undone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, NEGATIVE, THREE_LINES, TODAY, at
from core.board.shift_bench import WELL, ShiftBench
from readbell.core.assay.events import Basis
from readbell.core.board.acts import TryAlarm
from readbell.core.board.board import Board
from readbell.core.board.closing_checks import left_undone
from readbell.core.board.opening_checks import LEAST_FREE, opening_checks
from readbell.core.climate.acts import FailThermometer, NoteTemperature
from readbell.core.climate.events import ThermometerFault, Where
from readbell.core.shift.checks import Check, CheckState, Facts, Item, LeftKind
from readbell.core.stock.acts import CountUnits

if TYPE_CHECKING:
    from readbell.core.instant import Instant

FINE, DUE, FAULT, UNKNOWN = CheckState


def found(
    bench: ShiftBench,
    item: Item,
    now: str = "0:00",
    facts: Facts = WELL,
    today: date = TODAY,
    *,
    light: bool = False,
) -> Check | None:
    """What one line of the list says."""
    checks = opening_checks(bench.board, facts, at(now), today, light=light)
    return next((each for each in checks if each.item is item), None)


def state(bench: ShiftBench, item: Item, now: str = "0:00", **said: object) -> CheckState | None:
    """What was found."""
    line = found(bench, item, now, **said)  # type: ignore[arg-type]
    return None if line is None else line.state


def test_a_fresh_bay_that_wants_little_has_a_short_list() -> None:
    """Alarm, light and box are for people; the rest is looked at."""
    bench = ShiftBench()
    checks = opening_checks(bench.board, WELL, at("0:00"), TODAY)
    due = [each.item for each in checks if each.state is not FINE]
    assert due == [Item.ALARM, Item.LIGHT, Item.OPEN_BOX]


@pytest.mark.parametrize("heard", [True, False])
def test_the_alarm_is_fine_only_if_somebody_heard_it(*, heard: bool) -> None:
    """Rung and not heard is not in order."""
    bench = ShiftBench()
    bench.must(TryAlarm(by="op-1", heard=heard))
    assert state(bench, Item.ALARM) is (FINE if heard else FAULT)


def test_the_light_is_for_a_person_to_say() -> None:
    """Nothing is answered for them."""
    bench = ShiftBench()
    assert state(bench, Item.LIGHT) is DUE
    assert state(bench, Item.LIGHT, light=True) is FINE


def test_a_temperature_stands_on_the_list_where_the_site_wants_one() -> None:
    """Or where what is known is out of range."""
    bench = ShiftBench()
    assert state(bench, Item.BAY_TEMPERATURE) is None
    bench.must(NoteTemperature(by="op-1", where=Where.BAY, celsius=35.0))
    assert state(bench, Item.BAY_TEMPERATURE) is FAULT
    bench.decides(temperature_hours=1)
    bench.must(NoteTemperature(by="op-1", where=Where.BAY, celsius=21.0))
    assert state(bench, Item.BAY_TEMPERATURE, "59:59.999") is FINE
    assert state(bench, Item.BAY_TEMPERATURE, "60:00") is DUE
    assert state(bench, Item.STORE_TEMPERATURE) is None


def test_a_thermometer_that_does_not_speak_is_not_in_order() -> None:
    """Somebody reads it off meanwhile."""
    bench = ShiftBench()
    bench.must(FailThermometer(where=Where.STORE, fault=ThermometerFault.ENDED))
    assert state(bench, Item.STORE_TEMPERATURE) is FAULT


def test_control_samples_that_are_overdue_are_named() -> None:
    """By lot and kind."""
    bench = ShiftBench()
    assert state(bench, Item.CONTROLS) is FINE
    bench.decides(controls_new_lot=True)
    line = found(bench, Item.CONTROLS)
    assert line is not None
    assert (line.state, line.about) == (DUE, ("L-100 positive", "L-100 negative"))


def test_control_samples_that_are_due_later_are_not() -> None:
    """They are told of in their room."""
    bench = ShiftBench()
    bench.decides(controls_every_hours=1)
    bench.open_shift()
    bench.materials()
    bench.whole_sample("S1", "PC-1", 0, CLEAR)
    bench.whole_sample("S2", "NC-1", 20, NEGATIVE)
    assert state(bench, Item.CONTROLS, "50:00") is FINE
    assert LeftKind.CONTROLS not in undone(bench, "50:00")


@pytest.mark.parametrize(
    ("today", "expected"),
    [
        pytest.param(date(2026, 12, 16), FINE, id="fifteen days left"),
        pytest.param(date(2026, 12, 17), FAULT, id="fourteen days left"),
        pytest.param(date(2027, 1, 1), FAULT, id="out of date"),
    ],
)
def test_lots_that_go_out_of_date_are_named(today: date, expected: CheckState) -> None:
    """From as many days before as the site says: fourteen, if it says nothing."""
    bench = ShiftBench()
    line = found(bench, Item.LOTS, today=today)
    assert line is not None
    assert line.state is expected
    assert line.about == (("L-100",) if expected is FAULT else ())


def test_stock_that_runs_low_is_named_by_its_assay() -> None:
    """Of twenty units the site calls twenty low."""
    bench = ShiftBench()
    bench.decides(low_stock_units=20)
    line = found(bench, Item.LOTS)
    assert line is not None
    assert line.about == (bench.assay.id,)


def test_the_open_box_has_to_be_scanned_and_good() -> None:
    """Once a day has passed it may not be any more."""
    bench = ShiftBench()
    bench.open()
    assert state(bench, Item.OPEN_BOX) is FINE
    assert state(bench, Item.OPEN_BOX, today=date(2027, 1, 1)) is FAULT


def test_each_box_that_stands_open_is_named_and_has_to_be_good() -> None:
    """Two kits side by side: the one that is not in front may be past its last day."""
    bench = ShiftBench()
    bench.adopt(THREE_LINES, Basis.CHECKED)
    bench.receive("L-300", THREE_LINES, expires=date(2027, 6, 30))
    bench.open()
    bench.open("L-300")
    line = found(bench, Item.OPEN_BOX)
    assert line == Check(item=Item.OPEN_BOX, state=FINE, about=("L-100", "L-300"))
    assert state(bench, Item.OPEN_BOX, today=date(2027, 1, 1)) is FAULT

    bench.must(bench.hold_act("L-300"))
    assert found(bench, Item.OPEN_BOX) == replace(line, about=("L-100",))


def test_a_box_that_was_open_beside_another_is_asked_about_at_the_close() -> None:
    """Control samples that are overdue on it were so all shift."""
    bench = ShiftBench()
    bench.decides(controls_new_lot=True)
    bench.adopt(THREE_LINES, Basis.CHECKED)
    bench.receive("L-300", THREE_LINES)
    for lot in ("L-100", "L-300"):
        bench.open(lot)
    bench.open_shift()
    left = {
        each.kind: each.about for each in left_undone(bench.board, at("0:00"), at("1:00"), TODAY)
    }

    about = [f"{lot} {kind}" for lot in ("L-100", "L-300") for kind in ("positive", "negative")]
    assert left[LeftKind.CONTROLS] == (*about,)


@pytest.mark.parametrize(
    ("facts", "item", "expected"),
    [
        pytest.param(replace(WELL, disk_free=LEAST_FREE), Item.DISK, FINE, id="just enough"),
        pytest.param(replace(WELL, disk_free=LEAST_FREE - 1), Item.DISK, FAULT, id="full"),
        pytest.param(Facts(), Item.DISK, UNKNOWN, id="no disk"),
        pytest.param(replace(WELL, clock_is_set=False), Item.CLOCK, FAULT, id="clock not set"),
        pytest.param(Facts(), Item.CLOCK, UNKNOWN, id="a system that does not tell"),
        pytest.param(replace(WELL, record_is_whole=False), Item.RECORD, FAULT, id="broken"),
        pytest.param(Facts(), Item.RECORD, UNKNOWN, id="still checking"),
        pytest.param(replace(WELL, settings_are_fine=False), Item.SETTINGS, FAULT, id="settings"),
        pytest.param(Facts(), Item.ASSAYS, UNKNOWN, id="no folder of assays"),
    ],
)
def test_what_the_computer_says_is_taken_as_it_is(
    facts: Facts, item: Item, expected: CheckState
) -> None:
    """What it cannot say is never called fine."""
    assert state(ShiftBench(), item, facts=facts) is expected


@pytest.mark.parametrize(
    ("days", "now", "expected"),
    [(1, "23:00:00", FINE), (1, "25:00:00", DUE), (2, "25:00:00", FINE)],
)
def test_names_that_are_kept_too_long_are_told_where_the_site_says_how_long(
    days: int, now: str, expected: CheckState
) -> None:
    """It proposes; nothing is erased by itself."""
    bench = ShiftBench()
    facts = replace(WELL, keep_days=days)
    check = found(bench, Item.KEEPING, now, facts=facts)
    assert check is not None
    assert check.state is expected


def test_nothing_is_said_of_names_where_the_site_says_nothing_or_nobody_came() -> None:
    """No line is ticked by habit."""
    bench = ShiftBench()
    checks = opening_checks(bench.board, WELL, at("1:00"), TODAY)
    assert Item.KEEPING not in {each.item for each in checks}
    (kept,) = (
        each
        for each in opening_checks(Board(), replace(WELL, keep_days=1), at("99:00:00"), TODAY)
        if each.item is Item.KEEPING
    )
    assert kept.state is FINE


def test_an_assay_file_that_was_changed_is_named() -> None:
    """Its figures are no longer those that somebody checked."""
    line = found(ShiftBench(), Item.ASSAYS, facts=replace(WELL, changed_assays=("strep",)))
    assert line == Check(item=Item.ASSAYS, state=FAULT, about=("strep",))


def undone(bench: ShiftBench, now: str = "30:00") -> dict[LeftKind, tuple[str, ...]]:
    """What a shift would end with."""
    since: Instant = at("0:00")
    return {each.kind: each.about for each in left_undone(bench.board, since, at(now), TODAY)}


def test_a_shift_in_which_nothing_happened_ends_clean() -> None:
    """Nothing is asked for its own sake."""
    bench = ShiftBench()
    bench.open_shift()
    assert undone(bench) == {}


def test_a_box_that_was_used_is_counted_at_the_end() -> None:
    """What was found is held against what should be there."""
    bench = ShiftBench()
    bench.open_shift()
    bench.to_well()
    bench.must(bench.read_act(NEGATIVE), "18:00")
    assert undone(bench) == {LeftKind.NOT_COUNTED: ("L-100",)}
    bench.must(CountUnits(by="op-1", lot="L-100", counted=19), "20:00")
    assert undone(bench) == {}


def test_everything_that_is_left_is_named() -> None:
    """What runs, what is held, what is due."""
    bench = ShiftBench()
    bench.decides(temperature_hours=1, store_temperature_hours=1, controls_every_hours=1)
    bench.open_shift()
    bench.to_well()
    bench.must(NoteTemperature(by="op-1", where=Where.BAY, celsius=33.0), "5:00")
    bench.must(bench.read_act(NEGATIVE), "18:00")
    bench.must(bench.label_act("C2", "P-002"), "19:00")

    assert undone(bench) == {
        LeftKind.UNFINISHED: ("C2",),
        LeftKind.HELD: ("C1",),
        LeftKind.NOT_COUNTED: ("L-100",),
        LeftKind.TEMPERATURE: ("bay", "store"),
        LeftKind.CONTROLS: ("L-100 positive", "L-100 negative"),
    }


def test_a_lot_that_only_lies_in_the_store_leaves_nothing_undone() -> None:
    """It is proven when it is opened; the one at the bench, or used today, is not let off."""
    bench = ShiftBench()
    bench.decides(controls_new_lot=True)
    bench.must(bench.box("L-200"))
    bench.open_shift()
    assert LeftKind.CONTROLS not in undone(bench)
    bench.open("L-200")
    assert undone(bench)[LeftKind.CONTROLS] == ("L-200 positive", "L-200 negative")
    bench.label()
    found = undone(bench)[LeftKind.CONTROLS]
    assert {each.split()[0] for each in found} == {"L-100", "L-200"}
