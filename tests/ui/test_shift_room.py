"""The room of the shift: what is to be done, by which key, and what is left, in words."""

from __future__ import annotations

import pytest

from builders import Bench, at
from core.board.shift_bench import WELL, ShiftBench
from readbell.core.board.acts import TryAlarm
from readbell.hand.doing import Room, Visiting
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
