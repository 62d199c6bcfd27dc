"""A recall names everybody who was tested with the lot, whoever entered it and however."""

from __future__ import annotations

from dataclasses import replace

from builders import NEGATIVE, at
from core.board.paper_bench import LATER, run
from core.board.stock_bench import StockBench
from readbell.core.board.recalls import Concerned, concerned_by, recall_of
from readbell.core.reading.interpretation import Outcome
from readbell.core.stock.acts import RecallLot, ReleaseLot
from readbell.core.stock.events import LotRecalled, ReleaseReason

RECALL = RecallLot(by="op-1", lot="L-100")


def recalled(bench: StockBench, now: str = "70:00") -> LotRecalled:
    """What the record says of it."""
    event = bench.must(RECALL, now)[0]
    assert isinstance(event, LotRecalled)
    return event


def test_runs_from_paper_are_among_those_it_names() -> None:
    """In the order in which they were entered, and none of another lot."""
    bench = StockBench()
    bench.must(bench.box("L-200"))
    bench.must(run(), LATER)
    bench.must(replace(run(), new_id="paper-2", label="C32", lot="L-200"), LATER)
    bench.must(replace(run(), new_id="paper-3", label="C33", person="P-002"), LATER)

    assert recalled(bench).paper_runs == ("paper-1", "paper-3")


def test_what_was_entered_before_the_lot_came_in_is_not_looked_at() -> None:
    """After years there is very much of it."""
    bench = StockBench()
    bench.must(run(), LATER)
    bench.must(bench.box("L-200"), "65:00")
    bench.must(replace(run(), new_id="paper-2", label="C32", lot="L-200"), "66:00")

    event = bench.must(RecallLot(by="op-1", lot="L-200"), "70:00")[0]
    assert isinstance(event, LotRecalled)
    assert event.paper_runs == ("paper-2",)


def test_each_test_is_listed_as_it_stands_now() -> None:
    """Those of the board first; a run on paper by the time of its reading."""
    bench = StockBench()
    bench.to_well("C1")
    bench.label("C2", "P-002")
    bench.must(bench.read_act(NEGATIVE), "18:00")
    bench.must(run(), LATER)
    event = recalled(bench)

    found = recall_of(bench.board, "L-100")
    assert found == event
    assert list(concerned_by(bench.board, event)) == [
        Concerned(
            person="key-P-001", label="C1", at=at("0:00"), outcome=Outcome.NEGATIVE, on_paper=False
        ),
        Concerned(person="key-P-002", label="C2", at=at("0:00"), outcome=None, on_paper=False),
        Concerned(
            person="key-P-001", label="C31", at=at("22:00"), outcome=Outcome.NEGATIVE, on_paper=True
        ),
    ]


def test_the_last_recall_of_a_lot_is_the_one_that_counts_while_it_lasts() -> None:
    """Released, it is called back no more."""
    bench = StockBench()
    recalled(bench)
    assert recalled(bench, "71:00") == recall_of(bench.board, "L-100")
    bench.must(bench.box("L-200"))
    bench.must(RecallLot(by="op-1", lot="L-200"), "72:00")
    found = recall_of(bench.board, "L-100")
    assert found is not None
    assert found.at == at("71:00")

    release = ReleaseLot(by="op-1", lot="L-100", reason=ReleaseReason.RECALL_WITHDRAWN)
    bench.must(release, "73:00")
    assert recall_of(bench.board, "L-100") is None
    assert recall_of(bench.board, "L-404") is None


def test_a_record_that_was_cut_lists_what_it_still_has() -> None:
    """What it does not know it cannot show, and nothing fails over that."""
    bench = StockBench()
    event = replace(recalled(bench), cartridges=("gone",), paper_runs=("gone",))
    assert list(concerned_by(bench.board, event)) == []


def test_what_was_done_on_paper_and_entered_after_the_recall_is_among_them() -> None:
    """Paper comes in late; the person is the same."""
    bench = StockBench()
    bench.must(run(), LATER)
    event = recalled(bench)
    bench.must(replace(run(), new_id="paper-2", label="C32", person="P-002"), "75:00")
    assert [each.label for each in concerned_by(bench.board, event)] == ["C31", "C32"]
