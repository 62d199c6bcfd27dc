"""A lot is put on hold or recalled, by anybody, and released by a supervisor alone."""

from __future__ import annotations

import pytest

from builders import NEGATIVE
from core.board.stock_bench import StockBench
from readbell.core.refusal import RefusalCode
from readbell.core.review.reasons import HoldReason
from readbell.core.staff.acts import GiveRoles
from readbell.core.staff.roles import Role
from readbell.core.stock.acts import RecallLot, ReleaseLot
from readbell.core.stock.events import LotRecalled, ReleaseReason
from readbell.core.stock.lot import WhyHeld


def release(reason: ReleaseReason, by: str = "op-1") -> ReleaseLot:
    """The act that lets the lot of the bench be used again."""
    return ReleaseLot(by=by, lot="L-100", reason=reason)


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
    assert bench.lot().held_for is WhyHeld.RECALLED
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
        assert (bench.lot().on_hold, bench.lot().held_for) == (False, None)
    else:
        assert bench.refused(release(reason)).subject == "recalled"


def test_a_lot_that_was_held_is_released_and_used_again() -> None:
    """And a lot that was not is not released."""
    bench = StockBench()
    assert bench.refused(release(ReleaseReason.INVESTIGATED)).subject == "not on hold"
    bench.must(bench.hold_act())
    assert bench.lot().held_for is WhyHeld.BY_HAND
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

    assert bench.lot().held_for is WhyHeld.RECALLED
