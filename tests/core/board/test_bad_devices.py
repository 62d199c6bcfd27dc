"""A bad pouch or device is void with a reason of its own, and several of one lot are counted."""

from __future__ import annotations

from dataclasses import replace

import pytest

from core.board.stock_bench import StockBench
from core.board.test_reconcile import of_shift
from readbell.core.board.to_repeat import to_repeat
from readbell.core.cartridge.events import VoidReason
from readbell.core.stock.acts import LoseUnits
from readbell.core.stock.events import LossReason
from readbell.phrases.of_cartridges import say_after_void


def void(bench: StockBench, label: str, when: str, reason: VoidReason) -> None:
    """Give a cartridge up."""
    bench.must(replace(bench.void_act(label), reason=reason), when)


def two_bad(then: VoidReason = VoidReason.BAD_DEVICE) -> StockBench:
    """A bench at which one device was bad, and another was given up after it."""
    bench = StockBench()
    bench.label("C1", "P-001", "0:00")
    void(bench, "C1", "0:10", VoidReason.BAD_DEVICE)
    bench.label("C2", "P-001", "0:20")
    void(bench, "C2", "0:30", then)
    return bench


def test_each_bad_device_of_a_lot_is_counted_and_nothing_else_that_is_void() -> None:
    """The lot is looked at for what is wrong with it, and not for what hands let fall."""
    assert two_bad().board.lots["L-100"].bad == 2
    assert two_bad(VoidReason.DROPPED).board.lots["L-100"].bad == 1


@pytest.mark.parametrize("reason", LossReason)
def test_pouches_found_bad_before_any_label_count_with_them(reason: LossReason) -> None:
    """A torn pouch is one whether or not somebody had written on it."""
    bench = two_bad()
    bench.must(LoseUnits(by="op-1", lot="L-100", units=3, reason=reason), "1:00")

    expected = 5 if reason is LossReason.DAMAGED else 2
    assert bench.board.lots["L-100"].bad == expected


def test_in_the_figures_of_a_shift_bad_devices_stand_beside_the_void_ones_they_are_among() -> None:
    """Every cartridge stands in one figure still."""
    shift = of_shift(two_bad(VoidReason.DROPPED))

    assert (shift.voids, shift.bad, shift.used) == (2, 1, 2)


def test_of_a_bad_device_a_fresh_one_is_owed_and_of_somebody_who_left_none() -> None:
    """One was the kit's fault; of the other nobody is here any more."""
    assert [each.label for each in to_repeat(two_bad().board)] == ["C2"]
    assert not to_repeat(two_bad(VoidReason.LEFT).board)
    assert say_after_void(VoidReason.BAD_DEVICE) != say_after_void(VoidReason.LEFT)
