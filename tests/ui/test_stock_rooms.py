"""The rooms of lots and control samples, looked at as text in three sizes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from builders import CLEAR, THREE_LINES, TODAY, Bench, at, private
from core.board.stock_bench import StockBench
from readbell.core.cartridge.events import How
from readbell.core.stock.acts import CorrectLot, CountUnits, LastDay, LoseUnits, RecallLot
from readbell.core.stock.events import LossReason, Storage
from readbell.hand.doing import Filling, Labelling, Paper, Room, Visiting, Watching
from ui.pages import SIZES, painted, present, text

LOTS, SAMPLES = Visiting(room=Room.LOTS), Visiting(room=Room.SAMPLES)


def busy() -> StockBench:
    """A bench with lots in several states."""
    bench = StockBench()
    bench.decides(controls_new_lot=True, low_stock_units=40)
    bench.open()
    bench.must(bench.box("L-200", expires=date(2026, 4, 5), storage=Storage.COLD))
    bench.must(bench.box("L-300", units=None))
    bench.must(bench.box("L-100", units=5))
    bench.must(LoseUnits(by="op-1", lot="L-100", units=2, reason=LossReason.DAMAGED))
    bench.must(CountUnits(by="op-1", lot="L-100", counted=22))
    bench.must(RecallLot(by="op-1", lot="L-300"))
    bench.materials()
    return bench


def shown(bench: Bench, doing: object, size: tuple[int, int] = (80, 24), now: str = "1:00") -> str:
    """The page as text."""
    return text(painted(present(bench.board, doing, now=at(now)), *size))  # type: ignore[arg-type]


@pytest.mark.parametrize("size", SIZES)
def test_each_lot_stands_with_day_units_and_state(size: tuple[int, int]) -> None:
    """In words; the days left beside the day."""
    page = shown(busy(), LOTS, size)

    assert "L-100" in page
    assert "open" in page
    assert "L-200" in page
    if size[0] >= 80:
        assert "2026-04-05 SOON 7 d" in page
        assert "ON HOLD, recalled" in page
        assert "22 of 25" in page
        assert "DUE" in page


def test_of_two_open_boxes_the_room_says_which_is_in_front() -> None:
    """Both stand as open; about the chosen one it is said, and of a single one it need not be."""
    bench = StockBench()
    bench.open()
    front = "Its box is in front: a start is from it where nothing says of which."
    assert front not in " ".join(shown(bench, LOTS).split())
    bench.adopt(THREE_LINES)
    bench.receive("L-300", THREE_LINES)
    bench.open("L-300")

    first, second = (
        " ".join(shown(bench, replace(LOTS, cursor=place)).split()) for place in (0, 1)
    )
    assert "Its box stands open beside the one in front: F4 takes it" in first
    assert front in second
    assert first.count(" open ") >= 2
    assert "in store" not in first


def test_of_a_box_that_no_start_is_from_it_is_not_said_that_it_is_in_front() -> None:
    """It stands open since before midnight of its last day."""
    bench = StockBench()
    bench.adopt(THREE_LINES)
    bench.receive("L-300", THREE_LINES)
    bench.open("L-300")
    bench.open()
    lot = replace(bench.board.lots["L-100"], expires=date(2026, 1, 31))
    bench.board = replace(bench.board, lots={**bench.board.lots, "L-100": lot})

    page = shown(bench, LOTS)

    assert "EXPIRED" in page
    assert "is in front" not in page


def test_about_the_chosen_lot_all_that_counts_is_told() -> None:
    """What became of its units, how much of the assay is left, and what is due."""
    page = " ".join(shown(busy(), LOTS).split())

    assert "25 received in 2 deliveries, 0 used, 2 written off, counts found 1 fewer" in page
    assert "LOW: 32 units of this assay are left." in page
    assert "Lot L-100: control sample, positive DUE since 00:53:20 (new lot)" in page
    cold = shown(busy(), Visiting(room=Room.LOTS, cursor=1))
    assert "Kept cold." in cold


def test_a_recalled_lot_names_every_cartridge_that_was_tested_with_it() -> None:
    """By label: who may look over a shoulder learns nobody's name."""
    bench = busy()
    bench.label("C1")
    bench.must(RecallLot(by="op-1", lot="L-100"))
    page = " ".join(shown(bench, LOTS).split())
    assert "RECALLED. Tested with it: C1." in page


def test_bad_devices_of_a_lot_are_told_of_in_its_room() -> None:
    """One of them in passing, several with what to do about it."""
    bench = busy()
    bench.must(LoseUnits(by="op-1", lot="L-100", units=1, reason=LossReason.MISSING))
    assert "2 bad devices of lot L-100 so far. Look its box over" in shown(bench, LOTS)
    bench = StockBench()
    bench.must(LoseUnits(by="op-1", lot="L-100", units=1, reason=LossReason.DAMAGED))
    assert "1 bad device so far." in shown(bench, LOTS)


def test_counts_that_found_more_say_so_and_uncounted_lots_too() -> None:
    """A surplus is as strange as a loss."""
    bench = busy()
    bench.must(CountUnits(by="op-1", lot="L-100", counted=30))
    assert "counts found 7 more" in " ".join(shown(bench, LOTS).split())
    assert "Not counted; 0 used." in shown(bench, Visiting(room=Room.LOTS, cursor=2))


@pytest.mark.parametrize("size", SIZES)
def test_control_materials_stand_with_their_last_verdict(size: tuple[int, int]) -> None:
    """And below them what is due."""
    bench = busy()
    assert "PC-1" in shown(bench, SAMPLES, size)
    bench.whole_sample("C1", "PC-1", 2, CLEAR)
    page = shown(bench, SAMPLES, size, now="20:00")

    assert "control sample" in page
    if size[0] >= 80:
        assert "passed on L-100" in page
        assert "not run yet" in page
        assert "Lot L-100: control sample, negative DUE since" in page


def test_empty_rooms_say_how_to_begin() -> None:
    """And that nothing is due."""
    page = shown(StockBench(), SAMPLES)

    assert "No control material was entered yet. F2 enters one." in page
    assert "No control sample is due." in page
    assert "F2 New material" in page
    bench = StockBench()
    assert "F6 More" in shown(bench, LOTS)


def test_a_sample_is_told_by_word_on_the_board_and_in_its_detail() -> None:
    """It is nobody's."""
    bench = StockBench()
    bench.materials()
    bench.sample("C1", "PC-1", "0:00")
    bench.label("C2")
    page = shown(bench, Watching(), (120, 40))

    assert "sample +" in page
    assert "P-001" in page
    assert "samp +  " in shown(bench, Watching(), (80, 24))


@pytest.mark.parametrize("size", SIZES)
def test_the_form_of_a_lot_shows_what_may_be_done(size: tuple[int, int]) -> None:
    """By words, one under the other."""
    answers = (("lot", "L-100"), ("deed", "lose-units"))
    page = shown(busy(), Filling(paper=Paper.DEED, answers=answers), size)

    assert "What was done with a lot" in page
    if size[0] >= 80:
        assert "units are written off" in page


def test_what_the_bay_is_owed_stands_behind_its_name() -> None:
    """One short mark each, on every page, and none where nothing is due."""
    bench = busy()
    assert "Harrow Quay   samples due   stock low" in shown(bench, Watching(), (120, 40))
    assert "samples due" in shown(bench, LOTS)
    bench.decides()
    assert "due" not in shown(bench, Watching(), (120, 40)).splitlines()[0]
    bench.decides(low_stock_units=1)
    assert "stock low" not in shown(bench, Watching(), (120, 40))


def test_a_sample_that_is_labelled_asks_for_no_persons_id() -> None:
    """What stands on the cartridge must be what it is for."""
    bench = busy()
    doing = Labelling(person="PC-1", person_by=How.SCANNED, is_sample=True)
    page = shown(bench, doing)

    assert "which control material it is for" in " ".join(page.split())
    assert "the person's ID" not in page


def test_a_lot_that_was_corrected_tells_what_had_stood() -> None:
    """Whoever holds the box beside the screen sees why the day is another one."""
    bench = StockBench()
    bench.must(bench.box("L-200"))
    act = CorrectLot(
        by="op-1",
        lot="L-100",
        today=TODAY,
        words=private("typed wrongly"),
        last_day=LastDay(on=date(2027, 1, 31), ends=at("9999:00")),
    )
    bench.must(act)
    words = "Corrected 2026-03-29: good to 2027-01-31, not to 2026-12-31."

    assert words in " ".join(shown(bench, LOTS).split())
    assert "Corrected" not in shown(bench, replace(LOTS, cursor=1))
