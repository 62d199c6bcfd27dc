"""Whom a recall concerns, in words: by labels where others look on, by names for whoever calls."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC
from typing import TYPE_CHECKING

from builders import NEGATIVE, Bench, span
from core.board.paper_bench import LATER, run
from readbell.core.board.recalls import recall_of
from readbell.core.stock.acts import RecallLot
from readbell.phrases.clock_time import ClockFace
from readbell.phrases.recall_words import list_tested, say_who_was_tested
from readbell.phrases.telling import tell_all

if TYPE_CHECKING:
    from readbell.core.stock.events import LotRecalled

FACE = ClockFace(zone=UTC, apart=span("6:40"))
"""Shows the start of the bench as 01:00:00."""
NOW = "70:00"


def recall(bench: Bench) -> LotRecalled:
    """The lot of the bench is called back."""
    bench.must(RecallLot(by="op-1", lot="L-100"), NOW)
    found = recall_of(bench.board, "L-100")
    assert found is not None
    return found


def test_people_tested_on_paper_are_counted_and_named_with_the_others() -> None:
    """Each person once, however often they were tested."""
    bench = Bench()
    bench.label("C1", "P-002")
    bench.must(run(), LATER)
    bench.must(replace(run(), new_id="paper-2", label="C32", person="P-002"), LATER)
    events = bench.must(RecallLot(by="op-1", lot="L-100"), NOW)

    assert (
        "2 people were tested with it: C1; on paper C31, C32. Their results wait for a supervisor."
    ) in tell_all(events, bench.board, FACE)


def test_whoever_was_tested_on_paper_alone_is_somebody() -> None:
    """It would be the one who is never told."""
    bench = Bench()
    bench.must(run(), LATER)
    (event,) = bench.must(RecallLot(by="op-1", lot="L-100"), NOW)

    assert "1 person was tested with it: on paper C31." in tell_all([event], bench.board, FACE)


def test_the_labels_are_all_there_and_name_nobody() -> None:
    """Of many none is left out: each has to be found."""
    bench = Bench()
    for number in range(1, 16):
        bench.label(f"C{number:02d}", "P-001")
    bench.must(run(), LATER)
    said = say_who_was_tested(recall(bench), bench.board)

    assert all(f"C{number:02d}" in said for number in range(1, 16))
    assert "C31 (on paper)" in said
    assert "P-001" not in said


def test_a_lot_nobody_was_tested_with_says_so() -> None:
    """That is an answer, too."""
    bench = Bench()
    assert "Nobody was tested with it" in say_who_was_tested(recall(bench), bench.board)


def test_the_list_has_person_label_time_and_what_came_of_it() -> None:
    """One line each, for whoever calls them."""
    bench = Bench()
    bench.to_well("C1")
    bench.must(bench.read_act(NEGATIVE), "18:00")
    bench.label("C2", "P-002")
    bench.must(run(), LATER)
    lines = [" ".join(each.split()) for each in list_tested(recall(bench), bench.board, FACE)]

    assert lines == [
        "P-001 C1 2026-03-29 01:00:00 - NEGATIVE",
        "P-002 C2 2026-03-29 01:00:00 no outcome yet",
        "P-001 C31 2026-03-29 01:22:00 - NEGATIVE paper, stated",
    ]
