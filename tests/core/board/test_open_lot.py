"""Of each assay one box stands open at the bench, for as long as cartridges come from it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from builders import LAST_DAY, NASAL, START, THREE_LINES, TODAY, Bench
from readbell.core.board.acts import OpenLot, ReceiveLot
from readbell.core.board.fold import fold
from readbell.core.errors import BrokenRecordError
from readbell.core.stock.events import LotOpened


def opening(lot: str = "L-100", *, by: str = "op-1", today: date = TODAY) -> OpenLot:
    """The act that opens a box."""
    return OpenLot(by=by, lot=lot, today=today)


def test_the_lot_opened_last_stands_open() -> None:
    """Its number need not be scanned for each cartridge."""
    bench = Bench()
    bench.must(
        ReceiveLot(by="op-1", number="L-200", assay=bench.assay.id, expires=LAST_DAY, units=None)
    )
    before = bench.board.open_lot
    (event,) = bench.must(opening(), "1:00")

    assert isinstance(event, LotOpened)
    assert (event.by, event.number) == ("key-op-1", "L-100")
    first = bench.board.open_lot
    bench.must(opening("L-200"))
    assert (before, first, bench.board.open_lot) == (None, "L-100", "L-200")


def two_kits(units: int = 20) -> Bench:
    """A bench at which a box of one assay was opened, and then one of another."""
    bench = Bench(units=units)
    bench.adopt(THREE_LINES)
    bench.receive("L-300", THREE_LINES, units=2)
    bench.must(opening())
    bench.must(opening("L-300"))
    return bench


def test_a_box_of_another_assay_is_opened_beside_the_first() -> None:
    """Two kits side by side: the one scanned last is in front, and neither is put away for it."""
    bench = two_kits()
    assert bench.board.open_lot == "L-300"
    assert [*bench.board.open_boxes.items()] == [(NASAL.id, "L-100"), (THREE_LINES.id, "L-300")]

    bench.must(opening())
    assert bench.board.open_lot == "L-100"
    assert [*bench.board.open_boxes.values()] == ["L-300", "L-100"]


def test_another_box_of_the_same_assay_takes_the_place_of_the_first() -> None:
    """One of each: a start never has to choose between two of one kit."""
    bench = two_kits()
    bench.receive("L-200", NASAL)
    bench.must(opening("L-200"))

    assert bench.board.open_boxes == {THREE_LINES.id: "L-300", NASAL.id: "L-200"}


def test_a_box_of_the_same_assay_adopted_anew_takes_the_place_of_the_first() -> None:
    """It is the same kit by newer instructions."""
    bench = two_kits()
    bench.adopt(replace(NASAL, title="Nasal, second edition"))
    bench.receive("L-200", NASAL)
    bench.must(opening("L-200"))

    assert bench.board.open_boxes == {THREE_LINES.id: "L-300", NASAL.id: "L-200"}


def test_once_the_box_in_front_has_ended_no_other_comes_to_stand_there() -> None:
    """The next pouch is of its kit as likely as not: whoever takes it scans of which."""
    bench = two_kits()
    bench.must(bench.label_act("C1", lot="L-300"))
    bench.must(bench.label_act("C2", lot="L-300"))

    assert bench.board.open_lot is None
    assert bench.board.open_boxes == {NASAL.id: "L-100"}


def test_a_box_beside_the_one_in_front_ends_by_itself() -> None:
    """On hold or used up, by the same rules."""
    held, used_up = two_kits(), two_kits(units=1)
    held.must(held.hold_act())
    used_up.label()

    for bench in (held, used_up):
        assert bench.board.open_lot == "L-300"
        assert bench.board.open_boxes == {THREE_LINES.id: "L-300"}


def test_a_lot_on_hold_stands_open_no_more() -> None:
    """The next cartridge would be refused; better to ask for a box at once."""
    bench = Bench()
    bench.must(opening())
    bench.must(bench.hold_act())

    assert bench.board.open_lot is None


def test_a_lot_that_is_used_up_closes_itself() -> None:
    """With its last cartridge gone, the next one wants a scan of a new box."""
    bench = Bench(units=2)
    bench.must(opening())
    bench.label("C1")
    left = bench.board.open_lot
    bench.label("C2")

    assert (left, bench.board.open_lot) == ("L-100", None)


def test_another_lot_that_ends_leaves_the_open_one_open() -> None:
    """Only the box at the bench is closed by what happens to it."""
    bench = Bench()
    bench.must(
        ReceiveLot(by="op-1", number="L-200", assay=bench.assay.id, expires=LAST_DAY, units=1)
    )
    bench.must(opening())
    bench.must(bench.label_act("C1", lot="L-200"))
    bench.must(bench.hold_act("L-200"))

    assert bench.board.open_lot == "L-100"


def test_a_lot_that_nobody_counts_stays_open() -> None:
    """Without a number of units there is none to run out."""
    bench = Bench(units=None)
    bench.must(opening())
    bench.label("C1")

    assert bench.board.open_lot == "L-100"


def test_what_gives_no_cartridge_is_not_opened() -> None:
    """Each reason that would refuse the label refuses the box before it is carried over."""
    used_up, held = Bench(units=0), Bench()
    held.must(held.hold_act())

    assert used_up.refused(opening()).code == "lot-used-up"
    assert held.refused(opening()).code == "lot-on-hold"
    assert Bench().refused(opening("L-404")).code == "unknown-lot"
    assert Bench().refused(opening(by="nobody")).code == "unknown-operator"


@pytest.mark.parametrize(
    ("today", "taken"),
    [
        pytest.param(LAST_DAY, True, id="on its last day"),
        pytest.param(LAST_DAY + timedelta(days=1), False, id="the day after"),
    ],
)
def test_a_lot_is_opened_through_the_end_of_its_last_day(today: date, taken: bool) -> None:
    """The day itself still counts, as for a label."""
    bench = Bench()
    if taken:
        bench.must(opening(today=today))
    else:
        assert bench.refused(opening(today=today)).code == "lot-expired"


def test_a_box_the_record_never_received_is_a_broken_record() -> None:
    """An event that names no lot must not be dropped in silence."""
    event = LotOpened(at=START, by="key-op-1", number="L-404")

    with pytest.raises(BrokenRecordError, match="lot 'L-404'"):
        fold(Bench().board, event)
