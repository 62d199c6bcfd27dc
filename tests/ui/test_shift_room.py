"""The room of the shift: what is to be done, by which key, and what is left, in words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import LAST_DAY, Bench, at
from core.board.shift_bench import WELL, ShiftBench
from readbell.core.board.acts import TryAlarm
from readbell.core.figures.tally import Tally
from readbell.core.figures.week import Week
from readbell.core.policy.shifts import Shifts
from readbell.core.staff.acts import RetireOperator, StateCompetence
from readbell.hand.doing import Room, Visiting
from readbell.hand.shift_room import shift_aloud
from ui.pages import SIZES, painted, present, text

ROOM = Visiting(room=Room.SHIFT)


def shown(bench: Bench, now: str = "5:00", size: tuple[int, int] = (80, 24)) -> str:
    """The page as text."""
    return text(painted(present(bench.board, ROOM, now=at(now)), *size))


def test_a_site_without_shifts_is_told_how_to_have_them() -> None:
    """And nothing else."""
    assert 'shifts = "on"' in shown(Bench())


@pytest.mark.parametrize("size", SIZES)
def test_before_a_shift_each_check_says_what_is_to_be_done(size: tuple[int, int]) -> None:
    """Whole lines, at every size; what is fine asks for nothing."""
    bench = ShiftBench()
    page = shown(bench, size=size)
    assert "Before a shift" in page
    assert "! alarm heard DUE. Room of sound: F3 rings it" in page
    assert "+ control samples fine." in page
    assert "F2 Open" in page
    assert "no shift open" in page.splitlines()[0]
    bench.must(TryAlarm(by="op-1", heard=False))
    assert "x alarm heard NOT IN ORDER." in shown(bench, size=size)


@pytest.mark.parametrize("size", SIZES)
def test_an_open_shift_says_since_when_and_what_it_would_end_with(size: tuple[int, int]) -> None:
    """What is undone stands above what was found at the start."""
    bench = ShiftBench()
    bench.open_shift()
    clean = shown(bench, size=size)
    bench.must(bench.label_act())
    page = shown(bench, size=size)

    assert "Shift 1 is open since" in clean
    assert "by op-1." in clean
    assert "+ Nothing is left undone" in clean
    assert "! still running: C1" in page
    assert "shift since 00:53" in page.splitlines()[0]


def test_a_sheet_that_nobody_signed_is_told_until_somebody_has() -> None:
    """Also while the next shift runs."""
    bench = ShiftBench()
    bench.open_shift()
    bench.close_shift("1:00")
    bench.open_shift("2:00", WELL)
    assert "Day sheet of shift 1 is NOT SIGNED; closed clean." in shown(bench)
    bench.must(bench.sign_act(), "3:00")
    assert "NOT SIGNED" not in shown(bench)


def test_a_small_screen_says_how_much_more_there_is() -> None:
    """Nothing ends in silence."""
    assert "more lines" in shown(ShiftBench(), size=(60, 14))


def test_the_keys_on_the_line_are_those_that_do_something_now() -> None:
    """A key that only says why it does nothing is not offered."""

    def keys(now: str = "5:00") -> str:
        return shown(bench, now).splitlines()[-1]

    bench = ShiftBench()
    assert "F2 Open" in keys()
    assert "F3 Light reads well" in keys()
    assert "F6 Close" not in keys()
    assert "F5 Sign" not in keys()
    bench.open_shift()
    assert "F2 Open" not in keys()
    assert "F3 Light" not in keys()
    assert "F6 Close" in keys()
    bench.close_shift("1:00")
    assert "F5 Sign sheet" in keys()
    assert "F2 Open" in keys()
    bench.decides(shifts=Shifts.OFF)
    assert "F2 Open" not in keys()


def test_own_reviews_stand_in_the_room_before_the_shift_is_closed() -> None:
    """They are for somebody outside: whoever closes should know that they are on the sheet."""
    bench = ShiftBench()
    bench.must(RetireOperator(by="op-1", operator="op-2"))
    bench.open_shift()
    assert "Own reviews" not in shown(bench)
    bench.must(
        StateCompetence(by="op-1", operator="op-1", assay=bench.assay.id, until=LAST_DAY), "2:00"
    )
    page = shown(bench, size=(120, 40))
    assert "Own reviews, for somebody outside to look at:" in page
    assert "op-1: cleared op-1" in page


def flagged(bench: Bench, *lots: str, now: str = "5:00", size: tuple[int, int] = (80, 24)) -> str:
    """The page, `lots` having shown more invalid strips than usual this week."""
    week = Week(
        day="2026-03-29",
        today=Tally(),
        whole=Tally(),
        days=(),
        refused_today=0,
        refused=0,
        flagged=lots,
    )
    found = present(bench.board, ROOM, now=at(now))
    return text(painted(replace(found, scene=replace(found.scene, week=week)), *size))


@pytest.mark.parametrize("size", SIZES)
def test_a_lot_out_of_the_ordinary_is_advised_about_before_a_shift_and_at_its_end(
    size: tuple[int, int],
) -> None:
    """Control samples and a hold are proposed where people look; nothing is done or asked for."""
    bench = ShiftBench()
    before = flagged(bench, "L-100", size=size)
    bench.open_shift()
    after = flagged(bench, "L-100", size=size)

    for page in (before, after):
        joined = " ".join(page.split())
        assert "* Advice: lot L-100 has had more invalid strips than usual." in joined
        assert "Nothing was held by itself." in joined
    assert "can be closed clean" in after
    assert not bench.board.lots["L-100"].on_hold


def test_nothing_is_advised_about_a_lot_that_is_on_hold_or_where_nobody_works_in_shifts() -> None:
    """It was seen to already; and a room that is not used says nothing else."""
    bench = ShiftBench()
    bench.must(bench.hold_act("L-100"))

    assert "Advice" not in flagged(bench, "L-100")
    assert "Advice" not in flagged(ShiftBench())
    assert "Advice" not in flagged(Bench(), "L-100")


def test_the_advice_is_read_aloud_too() -> None:
    """Whoever works in plain lines has to hear it."""
    bench = ShiftBench()
    found = present(bench.board, ROOM, now=at("5:00"))
    week = Week(
        day="2026-03-29",
        today=Tally(),
        whole=Tally(),
        days=(),
        refused_today=0,
        refused=0,
        flagged=("L-100",),
    )
    assert list(shift_aloud(replace(found.scene, week=week)))[-1].startswith("Advice: lot L-100")
