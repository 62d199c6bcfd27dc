"""Boxes come in, are opened, warmed and counted; nothing is ever deleted."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from builders import LAST_DAY, NASAL, THREE_LINES, TODAY, at
from core.board.stock_bench import StockBench
from readbell.core.board.acts import OpenLot
from readbell.core.refusal import RefusalCode
from readbell.core.stock.acts import (
    BeginBox,
    CountUnits,
    DescribeLot,
    LoseUnits,
    PutBack,
    RecallLot,
    TakeOut,
    UseBuffer,
)
from readbell.core.stock.events import (
    BufferUsed,
    GtinTied,
    LossReason,
    LotDelivered,
    LotDescribed,
    LotReceived,
    Storage,
    UnitsCounted,
)

GTIN = "38425876095074"


def test_a_first_box_makes_its_lot_known() -> None:
    """With all that stands on it."""
    bench = StockBench()
    received, described = bench.must(
        bench.box(storage=Storage.COLD, buffer="B-1", good_after_opening=30)
    )

    assert isinstance(received, LotReceived)
    assert isinstance(described, LotDescribed)
    found = bench.lot("L-200")
    assert (found.units, found.expires, found.storage) == (10, LAST_DAY, Storage.COLD)
    assert (found.buffer, found.good_after_opening, len(found.deliveries)) == ("B-1", 30, 1)


def test_a_further_box_is_another_delivery_and_keeps_what_was_known() -> None:
    """Each keeps its own instant and units."""
    bench = StockBench()
    bench.must(bench.box("L-100", storage=Storage.COLD, units=0))
    (delivered,) = bench.must(bench.box("L-100", assay=None), "5:00")

    assert isinstance(delivered, LotDelivered)
    assert bench.lot().units == 30
    assert [each.units for each in bench.lot().deliveries] == [20, 0, 10]
    assert bench.lot().storage is Storage.COLD


def test_a_lot_of_which_one_delivery_was_not_counted_is_not_counted() -> None:
    """Nobody knows then how many there are."""
    bench = StockBench()
    bench.must(bench.box("L-100", units=None))

    assert bench.lot().units is None


def test_a_lot_has_one_last_day() -> None:
    """Two on one number are two lots, or a slip; either way a person must look."""
    bench = StockBench()
    refusal = bench.refused(bench.box("L-100", expires=date(2027, 1, 31)))

    assert refusal.code is RefusalCode.LOT_TWO_EXPIRIES
    assert "2026-12-31" in refusal.subject
    assert "2027-01-31" in refusal.subject


@pytest.mark.parametrize(
    ("expires", "taken"),
    [
        pytest.param(TODAY, True, id="on its last day"),
        pytest.param(date(2026, 3, 28), False, id="a day late"),
    ],
)
def test_what_is_past_its_day_is_not_taken_in(expires: date, taken: bool) -> None:
    """The day itself still counts."""
    bench = StockBench()
    if taken:
        bench.must(bench.box(expires=expires))
    else:
        assert bench.refused(bench.box(expires=expires)).code is RefusalCode.LOT_EXPIRED


def test_a_box_needs_somebody_an_assay_and_its_adoption() -> None:
    """Each is told by its own code."""
    bench = StockBench()

    assert bench.refused(bench.box(by="nobody")).code is RefusalCode.UNKNOWN_OPERATOR
    assert bench.refused(bench.box(assay=None)).subject == "no assay"
    assert bench.refused(bench.box(assay="dipstick")).code is RefusalCode.NOT_ADOPTED


def test_an_item_number_is_tied_once_and_then_names_the_assay() -> None:
    """From the second box on nobody has to say what it is for."""
    bench = StockBench()
    _, tied = bench.must(bench.box(gtin=GTIN))
    assert isinstance(tied, GtinTied)
    (received,) = bench.must(bench.box("L-300", gtin=GTIN, assay=None))

    assert isinstance(received, LotReceived)
    assert received.assay == bench.lot().assay
    assert bench.board.stock_room.gtins == {GTIN: NASAL.id}


def test_a_box_that_contradicts_what_was_tied_is_looked_at_again() -> None:
    """By its item number it is one assay, by what was typed another."""
    bench = StockBench()
    bench.adopt(THREE_LINES)
    bench.must(bench.box(gtin=GTIN))
    by_number = bench.refused(bench.box("L-300", gtin=GTIN, assay=THREE_LINES.id))
    by_lot = bench.refused(bench.box("L-100", assay=THREE_LINES.id))

    assert by_number.code is by_lot.code is RefusalCode.BOX_OF_ANOTHER_ASSAY


def test_days_after_opening_count_from_the_first_opening_said() -> None:
    """A scan of the open box at the start of a shift opens nothing anew."""
    bench = StockBench()
    bench.must(bench.box("L-100", units=0, good_after_opening=30))
    bench.must(BeginBox(by="op-1", lot="L-100", today=date(2026, 3, 1)))
    bench.open()

    assert bench.board.open_lot == "L-100"
    assert bench.lot().opened_on == date(2026, 3, 1)
    assert bench.lot().good_until == date(2026, 3, 31)


def test_the_first_scan_of_a_box_begins_its_days_and_no_later_one() -> None:
    """As its assay says, or as it says on the box, which goes first."""
    bench = StockBench(replace(NASAL, open_box_days=30))
    assert bench.lot().good_after_opening == 30
    bench.must(bench.box("L-100", units=0, good_after_opening=10))
    begun = bench.must(OpenLot(by="op-1", lot="L-100", today=date(2026, 3, 1)))
    again = bench.must(OpenLot(by="op-1", lot="L-100", today=date(2026, 3, 5)))

    assert (len(begun), len(again)) == (2, 1)
    assert bench.lot().good_until == date(2026, 3, 11)


def test_a_fresh_box_is_refused_as_any_opening_is() -> None:
    """A lot on hold gives no box either."""
    bench = StockBench()
    bench.must(bench.hold_act())

    act = BeginBox(by="op-1", lot="L-100", today=TODAY)
    assert bench.refused(act).code is RefusalCode.LOT_ON_HOLD


def test_what_stands_on_a_box_is_said_of_a_lot_that_is_here_already() -> None:
    """Each thing for itself; what is not said stays as it was, and saying nothing says nothing."""
    bench = StockBench()
    bench.must(DescribeLot(by="op-1", lot="L-100", buffer="B-1", good_after_opening=7))
    bench.must(DescribeLot(by="op-1", lot="L-100", storage=Storage.COLD))
    found = bench.lot()
    assert (found.buffer, found.storage, found.good_after_opening) == ("B-1", Storage.COLD, 7)
    assert len(found.deliveries) == 1
    assert bench.must(DescribeLot(by="op-1", lot="L-100")) == ()
    unknown = bench.refused(DescribeLot(by="op-1", lot="L-404", buffer="B-1"))
    assert unknown.code is RefusalCode.UNKNOWN_LOT


def test_kits_leave_the_cold_and_go_back() -> None:
    """What went back has to warm up again."""
    bench = StockBench()
    assert bench.refused(TakeOut(by="op-1", lot="L-100")).subject == "not kept cold"
    bench.cold_box(Storage.COLD)
    bench.must(TakeOut(by="op-1", lot="L-100"), "2:00")
    out = bench.lot().taken_out
    bench.must(PutBack(by="op-1", lot="L-100"), "3:00")

    assert (out, bench.lot().taken_out) == (at("2:00"), None)


def test_what_is_written_off_is_gone_and_kept_on_record() -> None:
    """With its reason."""
    bench = StockBench()
    bench.must(LoseUnits(by="op-1", lot="L-100", units=3, reason=LossReason.DAMAGED))

    assert bench.lot().left == 17
    assert [each.reason for each in bench.board.stock_room.losses] == [LossReason.DAMAGED]


@pytest.mark.parametrize("units", [0, -1, 21])
def test_no_more_is_written_off_than_there_is(units: int) -> None:
    """It would be a slip of the keys."""
    act = LoseUnits(by="op-1", lot="L-100", units=units, reason=LossReason.OTHER)

    assert StockBench().refused(act).subject == "units"


def test_any_number_may_be_lost_of_what_nobody_counts() -> None:
    """There is nothing to hold it against."""
    bench = StockBench(units=None)
    bench.must(LoseUnits(by="op-1", lot="L-100", units=500, reason=LossReason.OTHER))

    assert bench.lot().left is None


@pytest.mark.parametrize("counted", [0, 18, 20, 25])
def test_a_count_is_right_from_there_on_and_its_difference_stays(counted: int) -> None:
    """What was on record before is kept beside it."""
    bench = StockBench()
    bench.label()
    (event,) = bench.must(CountUnits(by="op-1", lot="L-100", counted=counted))

    assert isinstance(event, UnitsCounted)
    assert event.expected == 19
    assert bench.lot().left == counted
    bench.must(CountUnits(by="op-1", lot="L-100", counted=4))
    assert bench.lot().left == 4


def test_a_count_makes_an_uncounted_lot_counted() -> None:
    """What was used and lost before is not taken off again."""
    bench = StockBench(units=None)
    bench.label()
    bench.must(LoseUnits(by="op-1", lot="L-100", units=2, reason=LossReason.OTHER))
    bench.must(CountUnits(by="op-1", lot="L-100", counted=7))
    assert bench.lot().left == 7
    bench.label("C2")

    assert bench.lot().left == 6


def test_a_count_below_none_is_a_slip() -> None:
    """Nothing is written."""
    assert StockBench().refused(CountUnits(by="op-1", lot="L-100", counted=-1)).subject == "units"


def test_an_open_box_whose_last_units_are_written_off_closes() -> None:
    """The next start asks for a box."""
    bench = StockBench(units=2)
    bench.open()
    bench.must(LoseUnits(by="op-1", lot="L-100", units=2, reason=LossReason.MISSING))

    assert bench.board.open_lot is None


@pytest.mark.parametrize(
    "act",
    [
        TakeOut(by="op-1", lot="L-404"),
        RecallLot(by="op-1", lot="L-404"),
        CountUnits(by="op-1", lot="L-404", counted=1),
    ],
)
def test_a_lot_nobody_received_is_unknown(act: TakeOut | RecallLot | CountUnits) -> None:
    """Its number was misread."""
    assert StockBench().refused(act).code is RefusalCode.UNKNOWN_LOT


def test_a_buffer_of_another_kit_is_recorded_and_stops_nothing() -> None:
    """Parts of two kits are not mixed; after the specimen is in it nothing is lost for it."""
    bench = StockBench()
    bench.must(bench.box("L-100", units=0, buffer="B-1"))
    bench.must(bench.box("L-200", buffer="B-2"))
    bench.label()
    found = []
    for buffer in ("B-1", "B-2", "B-9"):
        (event,) = bench.must(UseBuffer(by="op-1", cartridge="C1", buffer=buffer))
        assert isinstance(event, BufferUsed)
        found.append(event.is_foreign)

    assert found == [False, True, True]
    assert bench.board.stock_room.buffers["id-C1"].buffer == "B-9"


def test_a_buffer_is_foreign_only_where_somebody_can_tell() -> None:
    """A kit without a buffer number of its own takes any that is no other kit's."""
    bench = StockBench()
    bench.must(bench.box("L-200", buffer="B-2"))
    bench.label()
    known = bench.must(UseBuffer(by="op-1", cartridge="C1", buffer="B-2"))
    unknown = bench.must(UseBuffer(by="op-1", cartridge="C1", buffer="B-9"))

    assert [each.is_foreign for each in (*known, *unknown) if isinstance(each, BufferUsed)] == [
        True,
        False,
    ]
    act = UseBuffer(by="op-1", cartridge="C9", buffer="B-2")
    assert bench.refused(act).code is RefusalCode.UNKNOWN_CARTRIDGE
