"""A day sheet in words: whoever signs it adds up what stands on it."""

from __future__ import annotations

import re
from datetime import UTC

from builders import CLEAR, FAINT, NEGATIVE, NO_CONTROL, at, private
from core.board.shift_bench import ShiftBench
from readbell.core.board.acts import RegisterPerson
from readbell.core.board.day_sheet import make_day_sheet
from readbell.core.board.fold import fold
from readbell.core.cartridge.looks import lapse
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.reasons import WithdrawReason
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.day_sheet_words import day_sheet_lines


def test_what_became_of_the_cartridges_adds_up_to_how_many_there_were() -> None:
    """Void and running ones were left out of the sum, and what nobody read stood as invalid."""
    bench = ShiftBench()
    bench.open_shift()
    for number in range(3, 8):
        bench.must(RegisterPerson(by="op-1", person=private(f"P-00{number}")))
    for number, seen in enumerate((FAINT, NEGATIVE, NO_CONTROL, NEGATIVE, CLEAR), 1):
        bench.to_well(f"C{number}", f"P-00{number}")
        if number == 4:
            continue
        bench.must(bench.read_act(seen, f"C{number}"), "18:00")
    bench.board = fold(bench.board, lapse(bench.cartridge("C4"), at("22:30.001")))
    back = WithdrawResult(
        by="op-2", cartridge="C5", reason=WithdrawReason.PROCEDURE, words=private("w")
    )
    bench.must(back, "23:00")
    bench.must(bench.label_act("C6", "P-006"), "24:00")
    bench.must(bench.void_act("C6"), "24:10")
    bench.must(bench.label_act("C7", "P-007"), "25:00")
    running = bench.board.shift_book.running
    assert running is not None
    begun = [each.labelled for each in bench.board.in_order()]
    sheet = make_day_sheet(bench.board, running, begun, None)

    lines = list(day_sheet_lines(sheet, bench.board, ClockFace(zone=UTC)))
    (said,) = (each.strip() for each in lines if "of patients" in each)

    assert said == (
        "7 of patients: 1 positive, 1 negative, 1 invalid, 0 withheld, "
        "1 lapsed, 1 withdrawn, 1 void, 1 still running"
    )
    whole, *parts = map(int, re.findall(r"\d+", said))
    assert whole == sum(parts)
