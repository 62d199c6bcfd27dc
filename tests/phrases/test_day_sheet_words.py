"""A day sheet in words: whoever signs it adds up what stands on it."""

from __future__ import annotations

import re
from datetime import UTC

from builders import CLEAR, FAINT, NEGATIVE, NO_CONTROL, at, private
from core.board.shift_bench import ShiftBench
from readbell.core.board.acts import RegisterPerson
from readbell.core.board.day_sheet import make_day_sheet
from readbell.core.board.fold import fold
from readbell.core.cartridge.acts import TakeBackStep
from readbell.core.cartridge.events import TakeBackReason
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


def test_steps_that_were_taken_back_have_a_part_of_their_own_and_only_then() -> None:
    """Which, when each was confirmed and taken back, why and by whom; and no patient."""
    bench = ShiftBench()
    bench.open_shift()
    bench.to_well("C1")
    running = bench.board.shift_book.running
    assert running is not None
    before = make_day_sheet(bench.board, running, [], None)
    act = TakeBackStep(
        aim=bench.aim(by="op-2"), step="apply", reason=TakeBackReason.PRESSED_TOO_EARLY
    )
    events = bench.must(act, "3:00")
    sheet = make_day_sheet(bench.board, running, events, None)
    face = ClockFace(zone=UTC)
    lines = list(day_sheet_lines(sheet, bench.board, face))

    at_title = lines.index("Steps taken back")
    assert lines[at_title + 1] == (
        "  00:56:20  C1  Drops onto the well, confirmed 00:55:50: pressed too early  [op-2]"
    )
    assert "Steps taken back" not in list(day_sheet_lines(before, bench.board, face))
