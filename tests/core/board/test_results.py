"""One visit and assay has one reportable result; what else was run is listed under it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, NASAL, NEGATIVE, NO_CONTROL, THREE_LINES, Bench, at, private
from core.board.paper_bench import run as paper_run
from core.board.stock_bench import StockBench
from core.board.telling_bench import results_of
from readbell.core.board.results import is_valid, result_called, visit_of, visit_results
from readbell.core.reading.interpretation import Outcome
from readbell.core.results.status import ResultStatus
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.reasons import WithdrawReason

if TYPE_CHECKING:
    from readbell.core.instant import Instant
    from readbell.core.reading.bands import Bands

P1 = "key-P-001"
HOUR = 60 * 60_000


def one_day(_: Instant) -> int:
    """Everything falls on one day."""
    return 0


def each_hour(instant: Instant) -> int:
    """Each hour is a day of its own."""
    return (instant - at("0:00")) // HOUR


def labels(made: Bench) -> list[list[str]]:
    """The labels of each visit of P-001, all on one day."""
    return [
        [each.label for each in visit.results] for visit in visit_results(made.board, P1, one_day)
    ]


def test_a_repeat_stands_for_the_visit_and_the_invalid_one_under_it() -> None:
    """The last valid one is the result."""
    made = StockBench()
    made.whole("C1", NO_CONTROL)
    made.whole("C2", CLEAR, 1)
    (visit,) = visit_results(made.board, P1, one_day)

    assert visit.assay == NASAL.id
    assert visit.reportable is not None
    assert visit.reportable.label == "C2"
    assert [each.label for each in visit.under_it] == ["C1"]
    assert visit.latest.label == "C2"


def test_where_nothing_valid_came_there_is_no_reportable_result_and_all_are_listed() -> None:
    """Invalid is told as invalid, and is no result."""
    made = StockBench()
    made.whole("C1", NO_CONTROL)
    made.whole("C2", NO_CONTROL, 1)
    (visit,) = visit_results(made.board, P1, one_day)

    assert visit.reportable is None
    assert [each.label for each in visit.under_it] == ["C1", "C2"]


def test_of_two_valid_ones_on_one_day_the_last_one_is_reportable() -> None:
    """The other is in sight under it."""
    made = StockBench()
    made.whole("C1", CLEAR)
    made.whole("C2", NEGATIVE, 1)
    (visit,) = visit_results(made.board, P1, one_day)

    assert visit.reportable is not None
    assert (visit.reportable.label, visit.reportable.outcome) == ("C2", Outcome.NEGATIVE)


def test_a_repeat_on_the_next_day_belongs_to_the_visit_that_it_repeats() -> None:
    """It is linked, however late it was begun."""
    made = StockBench()
    made.whole("C1", NO_CONTROL)
    made.whole("C2", CLEAR, 1)
    assert [len(each.results) for each in visit_results(made.board, P1, each_hour)] == [2]


def test_whoever_comes_again_on_another_day_has_another_result() -> None:
    """A cartridge names the last one that failed as long as it lives; that visit is over."""
    made = StockBench()
    made.whole("C1", NO_CONTROL)
    made.whole("C2", CLEAR, 1)
    made.whole("C3", NEGATIVE, 2)
    assert made.cartridge("C3").labelled.repeat_of == made.cartridge("C1").id
    visits = visit_results(made.board, P1, each_hour)

    assert [[each.label for each in visit.results] for visit in visits] == [["C1", "C2"], ["C3"]]
    assert [visit.reportable and visit.reportable.label for visit in visits] == ["C2", "C3"]


def test_each_assay_of_a_visit_has_a_result_of_its_own() -> None:
    """Two questions, two answers."""
    made = StockBench()
    made.adopt(THREE_LINES)
    made.receive("L-3", THREE_LINES)
    made.whole("C1", CLEAR)
    made.must(made.label_act("C2", lot="L-3"), "1:00:00")
    assert labels(made) == [["C1"], ["C2"]]


def test_what_a_supervisor_took_back_is_no_result_of_the_visit() -> None:
    """It is listed, withdrawn."""
    made = StockBench()
    made.whole("C1", CLEAR)
    reason = WithdrawReason.PROCEDURE
    act = WithdrawResult(by="op-2", cartridge="C1", reason=reason, words=private("no"))
    made.must(act, "30:00")
    (visit,) = visit_results(made.board, P1, one_day)
    assert visit.reportable is None
    assert visit.latest.status is ResultStatus.WITHDRAWN


def test_a_lapsed_one_with_a_positive_seen_early_is_the_result_and_asks_for_no_repeat() -> None:
    """What was seen early stands."""
    made = StockBench()
    made.to_well()
    made.must(made.look_act(CLEAR), "6:00")
    made.lapse()
    (visit,) = visit_results(made.board, P1, one_day)
    assert visit.reportable is not None
    assert visit.reportable.outcome is Outcome.POSITIVE
    assert not made.board.owed


def test_a_run_on_paper_is_a_result_among_the_others() -> None:
    """It is final, by stated times, and marked so."""
    made = StockBench()
    made.must(paper_run(seen=CLEAR, doubt="0:30"), "60:00")
    made.whole("C1", NO_CONTROL, 2)
    (visit,) = visit_results(made.board, P1, one_day)
    found = visit.reportable

    assert found is not None
    assert (found.label, found.on_paper, found.status) == ("C31", True, ResultStatus.FINAL)
    assert (found.outcome, found.version, found.read_at) == (Outcome.POSITIVE, 1, at("22:00"))
    assert found.applied is not None
    assert (found.applied.earliest, found.applied.latest) == (at("4:30"), at("5:30"))
    assert found.collected is not None
    assert found.collected.stated
    assert found == result_called(made.board, "paper-1")
    assert (found.lot, found.since, found.lapsed) == ("L-100", at("60:00"), False)
    run = made.board.paper_runs["paper-1"]
    assert (found.assay_hash, found.read_by) == (run.assay, run.operator)
    assert (found.deviations, found.holds) == (run.deviations, ())
    assert found.applied.said == at("5:00")
    assert [(each.line, each.outcome) for each in found.analytes] == [
        ("sars-cov-2", Outcome.POSITIVE)
    ]
    assert [each.label for each in results_of(made.board, P1)] == ["C31", "C1"]


def test_a_paper_run_of_an_assay_that_collects_nothing_has_no_time_for_it() -> None:
    """Rather nothing than a wrong one."""
    steps = tuple(replace(each, collects=False) for each in NASAL.steps)
    made = Bench(replace(NASAL, steps=steps))
    made.must(paper_run(seen=CLEAR), "60:00")
    (found,) = results_of(made.board, P1)
    assert found.collected is None


def test_a_visit_is_found_by_any_of_its_results() -> None:
    """And nothing is found of somebody else's."""
    made = StockBench()
    made.whole("C1", NO_CONTROL)
    made.whole("C2", CLEAR, 1)
    first = result_called(made.board, made.cartridge("C1").id)
    assert first is not None
    visit = visit_of(made.board, first, one_day)
    assert visit is not None
    assert [each.label for each in visit.results] == ["C1", "C2"]
    assert visit_of(made.board, replace(first, subject="key-P-002"), one_day) is None


def test_nothing_is_called_by_an_id_that_is_none() -> None:
    """Neither a cartridge nor a run on paper."""
    assert result_called(Bench().board, "nothing") is None


@pytest.mark.parametrize(("seen", "valid"), [(CLEAR, True), (NEGATIVE, True), (NO_CONTROL, False)])
def test_valid_is_what_says_something(seen: Bands, valid: bool) -> None:
    """Invalid may be told, and is no answer."""
    made = StockBench()
    made.whole("C1", seen)
    (found,) = results_of(made.board, P1)
    assert is_valid(found) is valid


def test_of_two_that_were_begun_at_one_instant_the_one_labelled_first_comes_first() -> None:
    """A hand can be that quick, and neither is lost."""
    made = StockBench()
    for label in ("C1", "C2"):
        made.must(made.label_act(label), "0:00")

    assert labels(made) == [["C1", "C2"]]


def test_of_two_visits_the_one_is_found_to_which_a_result_belongs() -> None:
    """And not the first that there is."""
    made = StockBench()
    made.whole("C1", CLEAR)
    made.whole("C2", NEGATIVE, 2)
    for label in ("C1", "C2"):
        found = result_called(made.board, made.cartridge(label).id)
        assert found is not None
        visit = visit_of(made.board, found, each_hour)
        assert visit is not None
        assert [each.label for each in visit.results] == [label]


def test_a_run_on_paper_belongs_to_the_day_on_which_it_was_begun() -> None:
    """Not to that of its drops, which may lie beyond midnight."""
    made = StockBench()
    made.must(paper_run(seen=CLEAR, doubt="0:30"), "60:00")
    run = made.board.paper_runs["paper-1"]
    begun, last = run.steps[0].said, run.steps[-1].said
    assert begun < last
    asked = []

    def day(instant: Instant) -> int:
        asked.append(instant)
        return 0

    visit_results(made.board, P1, day)
    assert asked == [begun]


def test_a_run_on_paper_that_was_taken_back_is_no_result() -> None:
    """As with a cartridge: listed, withdrawn."""
    made = StockBench()
    made.must(paper_run(seen=CLEAR), "60:00")
    reason = WithdrawReason.PROCEDURE
    act = WithdrawResult(by="op-2", cartridge="C31", reason=reason, words=private("no"))
    made.must(act, "61:00")
    (visit,) = visit_results(made.board, P1, one_day)

    assert visit.latest.status is ResultStatus.WITHDRAWN
    assert visit.reportable is None
