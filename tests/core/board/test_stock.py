"""Boxes come in, are opened, warmed, counted, recalled and released; nothing is ever deleted."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from builders import NASAL, NEGATIVE, THREE_LINES, TODAY, Bench, at
from core.board.stock_bench import LAST_DAY, StockBench
from readbell.assays.content_hash import content_hash
from readbell.core.assay.events import Basis
from readbell.core.board.acts import AdoptAssay, OpenLot
from readbell.core.refusal import RefusalCode
from readbell.core.review.reasons import HoldReason
from readbell.core.staff.acts import GiveRoles
from readbell.core.staff.roles import Role
from readbell.core.stock.acts import (
    BeginBox,
    CountUnits,
    LoseUnits,
    PutBack,
    RecallLot,
    ReleaseLot,
    TakeOut,
    UseBuffer,
)
from readbell.core.stock.events import (
    BufferUsed,
    GtinTied,
    LossReason,
    LotDelivered,
    LotDescribed,
    LotRecalled,
    LotReceived,
    ReleaseReason,
    Storage,
    UnitsCounted,
)
from readbell.core.stock.lot import Lot, WhyHeld

GTIN = "38425876095074"


def lot(bench: Bench, number: str = "L-100") -> Lot:
    """A lot as it now is."""
    return bench.board.lots[number]


def release(reason: ReleaseReason, by: str = "op-1") -> ReleaseLot:
    """The act that lets the lot of the bench be used again."""
    return ReleaseLot(by=by, lot="L-100", reason=reason)


def adopt_three_lines(bench: Bench) -> None:
    """Take a second assay into use."""
    act = AdoptAssay(
        by="op-1",
        assay=THREE_LINES,
        content_hash=content_hash(THREE_LINES),
        basis=Basis.REHEARSAL,
        instructions_version="1",
    )
    bench.must(act)


def test_a_first_box_makes_its_lot_known() -> None:
    """With all that stands on it."""
    bench = StockBench()
    received, described = bench.must(
        bench.box(storage=Storage.COLD, buffer="B-1", good_after_opening=30)
    )

    assert isinstance(received, LotReceived)
    assert isinstance(described, LotDescribed)
    found = lot(bench, "L-200")
    assert (found.units, found.expires, found.storage) == (10, LAST_DAY, Storage.COLD)
    assert (found.buffer, found.good_after_opening, len(found.deliveries)) == ("B-1", 30, 1)


def test_a_further_box_is_another_delivery_and_keeps_what_was_known() -> None:
    """Each keeps its own instant and units."""
    bench = StockBench()
    bench.must(bench.box("L-100", storage=Storage.COLD, units=0))
    (delivered,) = bench.must(bench.box("L-100", assay=None), "5:00")

    assert isinstance(delivered, LotDelivered)
    assert lot(bench).units == 30
    assert [each.units for each in lot(bench).deliveries] == [20, 0, 10]
    assert lot(bench).storage is Storage.COLD


def test_a_lot_of_which_one_delivery_was_not_counted_is_not_counted() -> None:
    """Nobody knows then how many there are."""
    bench = StockBench()
    bench.must(bench.box("L-100", units=None))

    assert lot(bench).units is None


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
    assert received.assay == lot(bench).assay
    assert bench.board.stock_room.gtins == {GTIN: NASAL.id}


def test_a_box_that_contradicts_what_was_tied_is_looked_at_again() -> None:
    """By its item number it is one assay, by what was typed another."""
    bench = StockBench()
    adopt_three_lines(bench)
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
    assert lot(bench).opened_on == date(2026, 3, 1)
    assert lot(bench).good_until == date(2026, 3, 31)


def test_the_first_scan_of_a_box_begins_its_days_and_no_later_one() -> None:
    """As its assay says, or as it says on the box, which goes first."""
    bench = StockBench(replace(NASAL, open_box_days=30))
    assert lot(bench).good_after_opening == 30
    bench.must(bench.box("L-100", units=0, good_after_opening=10))
    begun = bench.must(OpenLot(by="op-1", lot="L-100", today=date(2026, 3, 1)))
    again = bench.must(OpenLot(by="op-1", lot="L-100", today=date(2026, 3, 5)))

    assert (len(begun), len(again)) == (2, 1)
    assert lot(bench).good_until == date(2026, 3, 11)


def test_a_fresh_box_is_refused_as_any_opening_is() -> None:
    """A lot on hold gives no box either."""
    bench = StockBench()
    bench.must(bench.hold_act())

    act = BeginBox(by="op-1", lot="L-100", today=TODAY)
    assert bench.refused(act).code is RefusalCode.LOT_ON_HOLD


def test_kits_leave_the_cold_and_go_back() -> None:
    """What went back has to warm up again."""
    bench = StockBench()
    assert bench.refused(TakeOut(by="op-1", lot="L-100")).subject == "not kept cold"
    bench.cold_box(Storage.COLD)
    bench.must(TakeOut(by="op-1", lot="L-100"), "2:00")
    out = lot(bench).taken_out
    bench.must(PutBack(by="op-1", lot="L-100"), "3:00")

    assert (out, lot(bench).taken_out) == (at("2:00"), None)


def test_what_is_written_off_is_gone_and_kept_on_record() -> None:
    """With its reason."""
    bench = StockBench()
    bench.must(LoseUnits(by="op-1", lot="L-100", units=3, reason=LossReason.DAMAGED))

    assert lot(bench).left == 17
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

    assert lot(bench).left is None


@pytest.mark.parametrize("counted", [0, 18, 20, 25])
def test_a_count_is_right_from_there_on_and_its_difference_stays(counted: int) -> None:
    """What was on record before is kept beside it."""
    bench = StockBench()
    bench.label()
    (event,) = bench.must(CountUnits(by="op-1", lot="L-100", counted=counted))

    assert isinstance(event, UnitsCounted)
    assert event.expected == 19
    assert lot(bench).left == counted
    bench.must(CountUnits(by="op-1", lot="L-100", counted=4))
    assert lot(bench).left == 4


def test_a_count_makes_an_uncounted_lot_counted() -> None:
    """What was used and lost before is not taken off again."""
    bench = StockBench(units=None)
    bench.label()
    bench.must(LoseUnits(by="op-1", lot="L-100", units=2, reason=LossReason.OTHER))
    bench.must(CountUnits(by="op-1", lot="L-100", counted=7))
    assert lot(bench).left == 7
    bench.label("C2")

    assert lot(bench).left == 6


def test_a_count_below_none_is_a_slip() -> None:
    """Nothing is written."""
    assert StockBench().refused(CountUnits(by="op-1", lot="L-100", counted=-1)).subject == "units"


def test_an_open_box_whose_last_units_are_written_off_closes() -> None:
    """The next start asks for a box."""
    bench = StockBench(units=2)
    bench.open()
    bench.must(LoseUnits(by="op-1", lot="L-100", units=2, reason=LossReason.MISSING))

    assert bench.board.open_lot is None


def test_a_recall_stops_the_lot_and_lists_every_patient_tested_with_it() -> None:
    """Those who were read and those who run; their results wait for a supervisor."""
    bench = StockBench()
    bench.must(bench.box())
    bench.materials()
    bench.to_well("C1")
    bench.must(bench.read_act(NEGATIVE, "C1"), "17:30")
    bench.label("C2", "P-002", "18:00")
    bench.must(bench.label_act("C3", lot="L-200"), "18:00")
    bench.sample("C4", "PC-1", "18:00")
    bench.label("C5", "P-002", "18:00")
    bench.must(bench.void_act("C5"), "18:00")
    event, *held = bench.must(RecallLot(by="op-1", lot="L-100"), "19:00")

    assert isinstance(event, LotRecalled)
    assert event.cartridges == ("id-C1", "id-C2", "id-C5")
    assert len(held) == 2
    assert bench.cartridge("C1").held == bench.cartridge("C2").held == (HoldReason.LOT_RECALLED,)
    assert not bench.cartridge("C3").held
    assert not bench.cartridge("C4").held
    assert not bench.cartridge("C5").held
    assert lot(bench).held_for is WhyHeld.RECALLED
    assert bench.refused(bench.label_act("C6"), "19:00").code is RefusalCode.LOT_ON_HOLD
    assert bench.cartridge("C1").outcome is not None
    assert bench.board.stock_room.recalls == (event,)


def test_a_second_recall_marks_nothing_twice() -> None:
    """The list is told anew all the same."""
    bench = StockBench()
    bench.label()
    bench.must(RecallLot(by="op-1", lot="L-100"))

    (again,) = bench.must(RecallLot(by="op-1", lot="L-100"))
    assert isinstance(again, LotRecalled)
    assert again.cartridges == ("id-C1",)


@pytest.mark.parametrize("reason", list(ReleaseReason))
def test_a_recalled_lot_is_released_only_if_the_recall_was(reason: ReleaseReason) -> None:
    """A good control sample does not undo what the maker says."""
    bench = StockBench()
    bench.must(RecallLot(by="op-1", lot="L-100"))
    if reason is ReleaseReason.RECALL_WITHDRAWN:
        bench.must(release(reason))
        assert (lot(bench).on_hold, lot(bench).held_for) == (False, None)
    else:
        assert bench.refused(release(reason)).subject == "recalled"


def test_a_lot_that_was_held_is_released_and_used_again() -> None:
    """And a lot that was not is not released."""
    bench = StockBench()
    assert bench.refused(release(ReleaseReason.INVESTIGATED)).subject == "not on hold"
    bench.must(bench.hold_act())
    assert lot(bench).held_for is WhyHeld.BY_HAND
    bench.must(release(ReleaseReason.INVESTIGATED))

    bench.label()


def test_only_a_supervisor_releases_and_anybody_stops() -> None:
    """A lot in doubt is stopped by whoever sees it."""
    bench = StockBench()
    bench.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER,)))
    bench.must(RecallLot(by="op-2", lot="L-100"))

    refusal = bench.refused(release(ReleaseReason.RECALL_WITHDRAWN, by="op-2"))
    assert refusal.code is RefusalCode.ROLE_MISSING


def test_a_hold_by_hand_does_not_hide_a_recall() -> None:
    """The graver reason stays."""
    bench = StockBench()
    bench.must(RecallLot(by="op-1", lot="L-100"))
    bench.must(bench.hold_act())

    assert lot(bench).held_for is WhyHeld.RECALLED


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
