"""One bad device happens; several of a lot are told of, where it is read and where it counts."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC
from typing import TYPE_CHECKING

from core.board.test_bad_devices import two_bad
from core.board.test_reconcile import of_shift
from readbell.core.cartridge.events import CartridgeVoided, VoidReason
from readbell.phrases.bad_devices import say_bad
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.day_sheet_words import _lot
from readbell.phrases.of_cartridges import tell_of_cartridge

if TYPE_CHECKING:
    from core.board.stock_bench import StockBench

FACE = ClockFace(zone=UTC)
SIGN = (
    "2 bad devices of lot L-100 so far. Look its box over, and run control samples on it "
    "before more of it is opened, or put it on hold."
)


def told(bench: StockBench, label: str) -> str:
    """What is said of a void."""
    cartridge = bench.board.labelled(label)
    assert cartridge is not None
    assert isinstance(cartridge.voided, CartridgeVoided)
    return tell_of_cartridge(cartridge.voided, bench.board, FACE)


def test_several_bad_devices_of_a_lot_say_what_to_do_about_its_box() -> None:
    """With the void itself, when the box is at hand."""
    assert told(two_bad(), "C2").endswith(SIGN)
    assert told(two_bad(VoidReason.DROPPED), "C2").endswith("new specimen.")
    assert say_bad(replace(two_bad().board.lots["L-100"], bad=1)) == ""


def test_the_day_sheet_counts_bad_devices_among_what_was_void() -> None:
    """A sheet without any reads as ever."""
    assert "2 void (2 bad devices), 0 lost" in _lot(of_shift(two_bad()))
    assert "2 void (1 bad device), 0 lost" in _lot(of_shift(two_bad(VoidReason.DROPPED)))
