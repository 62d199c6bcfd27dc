"""Shifts survive a start: from a snapshot as from the first event."""

from __future__ import annotations

from core.board.shift_bench import ShiftBench
from journal.samples import STAMP
from readbell.core.board.shifts import is_label_taken
from readbell.journal.record import Head
from readbell.journal.snapshot import NOTHING, read_snapshot, taking

HEAD = Head(seq=7, hash=bytes(range(32)))


def test_a_snapshot_keeps_the_shift_the_order_and_whose_label_is_free() -> None:
    """One more device may bear a freed label afterwards, and none a label that is taken."""
    bench = ShiftBench()
    bench.open_shift()
    bench.must(bench.label_act("C1"))
    bench.must(bench.void_act("C1"))
    bench.must(bench.label_act("C2", "P-002"))
    bench.close_shift("1:00", "handed over")
    bench.open_shift("2:00")
    written = list(taking(bench.board, STAMP, HEAD, NOTHING))[-1]
    assert written is not None
    found = read_snapshot(written.parts)
    assert found is not None

    assert found.board.shift_book == bench.board.shift_book
    assert list(found.board.order.items()) == list(bench.board.order.items())
    assert [is_label_taken(found.board, each) for each in ("C1", "C2", "C3")] == [
        False,
        True,
        False,
    ]
