"""A lot that was corrected, in words: what stood, what stands, and what waits for it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date

import pytest

from builders import NASAL, THREE_LINES, TODAY, at, private
from core.board.paper_bench import run
from core.board.stock_bench import StockBench
from readbell.core.stock.acts import CorrectLot, LastDay
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.telling import tell_all

FACE = ClockFace(zone=UTC)
ACT = CorrectLot(by="op-1", lot="L-100", today=TODAY, words=private("typed wrongly"))
FUTURE = LastDay(on=date(2027, 1, 31), ends=at("9999:00"))
ENDED = LastDay(on=date(2026, 3, 28), ends=at("0:00"))


def said(bench: StockBench, act: CorrectLot, now: str = "1:00") -> str:
    """What is told of a correction and all that comes of it."""
    return tell_all(bench.must(act, now), bench.board, FACE)


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (FUTURE, "good to 2027-01-31, not to 2026-12-31."),
        (
            replace(FUTURE, is_scanned=True),
            "good to 2027-01-31, not to 2026-12-31, off the code of the box.",
        ),
        (
            ENDED,
            "good to 2026-03-28, not to 2026-12-31. That day is past: it gives no more cartridges.",
        ),
    ],
)
def test_both_days_are_told(day: LastDay, words: str) -> None:
    """And that one is past, if it is."""
    told = said(StockBench(), replace(ACT, last_day=day, is_past=True))

    assert told == f"Lot L-100 corrected by op-1: {words}"


def test_both_assays_are_told_with_the_days() -> None:
    """In one sentence, and with the item number that goes along."""
    bench = StockBench()
    bench.adopt(THREE_LINES)
    act = replace(ACT, last_day=FUTURE, assay=THREE_LINES.id, gtin="38425876095074")

    assert said(bench, act) == (
        "Lot L-100 corrected by op-1: good to 2027-01-31, not to 2026-12-31, "
        f"for {THREE_LINES.id}, not for {NASAL.id}. "
        f"Boxes with the item number 38425876095074 hold {THREE_LINES.id}."
    )


def test_an_item_number_that_stood_for_another_assay_is_told() -> None:
    """Where nothing else was wrong."""
    bench = StockBench()
    bench.adopt(THREE_LINES)
    gtin = "38425876095074"
    bench.must(bench.box("L-200", gtin=gtin))
    bench.must(bench.box("L-300", gtin=gtin), "1:00")
    bench.must(replace(ACT, lot="L-300", assay=THREE_LINES.id))

    assert said(bench, replace(ACT, lot="L-300", assay=THREE_LINES.id, gtin=gtin)) == (
        "Lot L-300 corrected by op-1: what its item number stands for. "
        f"Boxes with the item number {gtin} hold {THREE_LINES.id}."
    )


def test_what_was_begun_too_late_is_named_once_and_no_hold_is_told_beside_it() -> None:
    """By label: who may look over a shoulder learns nobody's name."""
    bench = StockBench()
    bench.label("C1", "P-001")
    bench.label("C2", "P-002")
    bench.must(run(), "60:00")
    told = said(bench, replace(ACT, last_day=ENDED, is_past=True), "61:00")

    assert told.endswith(
        "it gives no more cartridges. Begun after it: C1, C2. Their results wait for a supervisor. "
        "Run on paper after it: C31. Leave to a supervisor whether that stands."
    )
