"""What has yet to leave, and what of it comes again when a result changes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from builders import CLEAR, FAINT, NEGATIVE, START, at, private
from core.any_acts import BENCH, PLANS, Plan, folded, record
from core.board.paper_bench import LATER, run
from core.board.review_acts import amend, withdraw
from core.board.sending_bench import FHIR, HL7, SendingBench
from core.board.stock_bench import StockBench
from readbell.core.board.closing_checks import still_to_send
from readbell.core.board.decide import decide
from readbell.core.board.events import Mode
from readbell.core.board.fold import fold
from readbell.core.board.results import result_called
from readbell.core.board.sending import Sent, as_it_leaves, is_outstanding, is_to_be_heard
from readbell.core.exports.acts import NoteExport
from readbell.core.exports.events import ResultsExported
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.sending import ReportFormat
from readbell.core.refusal import Refusal
from readbell.core.results.result import Result, result_of
from readbell.core.results.status import ResultStatus
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.reasons import WithdrawReason

if TYPE_CHECKING:
    from readbell.core.board.board import Board


def test_a_result_waits_until_it_has_left_in_each_form_the_site_expects() -> None:
    """And the closing of a shift names it until then."""
    made = SendingBench(FHIR, HL7)
    made.to_well()
    assert made.waiting() == []
    made.must(made.read_act(FAINT), "18:00")
    assert made.waiting() == [("C1", (FHIR, HL7))]
    assert still_to_send(made.board) == ("C1",)
    (event,) = made.must(made.note("C1"), "19:00")
    assert isinstance(event, ResultsExported)
    assert (event.by, event.count, event.where) == ("key-op-1", 1, private("/out/file"))
    assert made.waiting() == [("C1", (HL7,))]
    made.must(made.note("C1", form=HL7), "19:01")
    assert made.waiting() == []
    assert still_to_send(made.board) == ()
    assert {each.format for each in made.board.sent["id-C1"]} == {FHIR, HL7}
    assert list(made.board.exports.values()) == [at("19:00"), at("19:01")]


def test_a_form_that_nobody_expects_is_kept_count_of_all_the_same() -> None:
    """A spreadsheet is no report: it takes nothing off the list."""
    made = SendingBench()
    made.read()
    made.must(made.note("C1", form=ReportFormat.CSV), "19:00")
    assert made.waiting() == [("C1", (FHIR,))]
    result = result_called(made.board, "id-C1")
    assert result is not None
    assert not is_outstanding(result, made.board.sent["id-C1"], ReportFormat.CSV)


def test_where_nothing_is_expected_nothing_waits() -> None:
    """And nothing is worked out for every step of every cartridge."""
    made = StockBench()
    made.to_well()
    made.must(made.read_act(FAINT), "18:00")
    assert dict(made.board.unsent) == {}


def test_where_nothing_is_expected_it_is_known_all_the_same_what_left() -> None:
    """A site that asks for it later sends nothing twice."""
    made = SendingBench()
    made.read()
    made.decides()
    made.must(made.note("C1"), "19:00")
    assert [each.format for each in made.board.sent["id-C1"]] == [FHIR]


def test_what_is_expected_no_more_no_longer_waits() -> None:
    """The list is of today's decisions."""
    made = SendingBench()
    made.read()
    made.decides(reports_expected=(HL7,))
    assert made.waiting() == [("C1", (HL7,))]
    made.decides()
    assert made.waiting() == [("C1", ())]
    assert still_to_send(made.board) == ()


def test_an_early_positive_leaves_at_once_and_its_final_result_after_it() -> None:
    """Preliminary and then final: no correction, as nothing said before was wrong."""
    made = SendingBench()
    made.to_well()
    made.must(made.look_act(FAINT), "6:00")
    assert made.waiting() == [("C1", (FHIR,))]
    made.must(made.note("C1"), "7:00")
    assert made.waiting() == []
    made.must(made.read_act(CLEAR), "18:00")
    assert made.waiting() == [("C1", (FHIR,))]
    (left,) = made.leaving("C1")
    assert (left.status, left.version, left.as_correction) == (ResultStatus.FINAL, 2, False)


def test_an_early_positive_that_left_and_is_contradicted_has_to_be_taken_back() -> None:
    """One that never left has nothing to take back."""
    made = SendingBench()
    for label, person in (("C1", "P-001"), ("C2", "P-002")):
        made.to_well(label, person)
        made.must(made.look_act(FAINT, label), "6:00")
    made.must(made.note("C1"), "7:00")
    for label in ("C1", "C2"):
        made.must(made.read_act(NEGATIVE, label), "18:00")
    assert made.waiting() == [("C1", (FHIR,))]
    assert made.leaving("C1")[0].status is ResultStatus.WITHHELD


def test_what_left_and_was_amended_or_withdrawn_leaves_again() -> None:
    """As often as it changes; what leaves again unchanged leaves as it did."""
    made = SendingBench()
    made.read()
    made.must(made.note("C1"), "19:00")
    made.must(
        amend(NEGATIVE),
        "20:00",
    )
    assert made.waiting() == [("C1", (FHIR,))]
    (left,) = made.leaving("C1")
    assert (left.status, left.as_correction) == (ResultStatus.AMENDED, True)
    made.must(made.note("C1"), "20:01")
    assert made.leaving("C1") == (left,)
    made.must(withdraw(), "21:00")
    assert made.waiting() == [("C1", (FHIR,))]
    assert made.leaving("C1")[0].status is ResultStatus.WITHDRAWN
    made.must(made.note("C1"), "21:01")
    assert made.waiting() == []


def test_what_was_withdrawn_before_it_left_leaves_nobody_anything_to_hear() -> None:
    """Nobody outside ever knew of it."""
    made = SendingBench()
    made.read()
    made.must(withdraw(), "19:00")
    assert made.waiting() == []


def test_no_control_sample_ever_waits_to_leave() -> None:
    """It is nobody's result."""
    made = SendingBench()
    made.materials()
    made.whole_sample("C1", "PC-1", 0, FAINT)
    assert made.waiting() == []
    result = result_called(made.board, "id-C1")
    assert result is not None
    assert not is_to_be_heard(result)


def test_a_run_on_paper_leaves_as_any_other() -> None:
    """Its times are stated; its result is one."""
    made = SendingBench()
    made.must(run(seen=FAINT), LATER)
    assert made.waiting() == [("C31", (FHIR,))]
    result = result_called(made.board, "paper-1")
    assert result is not None
    act = replace(made.note(), results=(as_it_leaves(result, (), FHIR),), count=1)
    made.must(act, "61:00")
    assert made.waiting() == []
    nobody_asks = StockBench(mode=Mode.LIVE)
    nobody_asks.must(run(seen=FAINT), LATER)
    assert dict(nobody_asks.board.unsent) == {}


@given(PLANS, st.frozensets(st.integers(0, 60), max_size=6))
@settings(max_examples=60)
def test_the_list_is_what_a_walk_over_everything_would_find(
    plan: Plan, exports: frozenset[int]
) -> None:
    """Law: it forgets nothing and keeps nothing that has left, whenever something leaves."""
    board = fold(BENCH, PolicySet(at=START, policy=SitePolicy(reports_expected=(FHIR,))))
    for place, event in enumerate(record(plan)):
        board = fold(board, event)
        wanted = [each for each in map(result_of, board.in_order()) if outstanding(board, each)]
        assert set(board.unsent) == {each.cartridge for each in wanted}
        if place in exports and wanted:
            act = NoteExport(
                by="op-1",
                export=f"export-{place}",
                format=FHIR,
                count=len(wanted),
                digest="0" * 64,
                where=None,
                results=tuple(as_it_leaves(each, sent_of(board, each), FHIR) for each in wanted),
            )
            decided = decide(board, act, event.at)
            assert not isinstance(decided, Refusal)
            board = folded(board, decided)
            assert dict(board.unsent) == {}


def sent_of(board: Board, result: Result) -> tuple[Sent, ...]:
    """How a result has left so far."""
    return board.sent.get(result.cartridge, ())


def outstanding(board: Board, result: Result) -> bool:
    """Whether a receiver has yet to hear of it, by looking at it."""
    return is_outstanding(result, sent_of(board, result), FHIR)


def test_the_list_of_what_waits_names_whom_it_is_about() -> None:
    """So nothing leaves of somebody who was erased."""
    made = SendingBench()
    made.read()

    assert dict(made.board.unsent) == {"id-C1": "key-P-001"}


def test_a_run_on_paper_that_left_and_was_taken_back_leaves_again() -> None:
    """A receiver has to hear it."""
    made = SendingBench()
    made.must(run(seen=FAINT), LATER)
    result = result_called(made.board, "paper-1")
    assert result is not None
    act = replace(made.note(), results=(as_it_leaves(result, (), FHIR),), count=1)
    made.must(act, "61:00")
    reason = WithdrawReason.PROCEDURE
    made.must(
        WithdrawResult(by="op-2", cartridge="C31", reason=reason, words=private("no")), "62:00"
    )

    assert made.waiting() == [("C31", (FHIR,))]


def test_of_what_has_no_version_yet_there_is_nothing_to_hear() -> None:
    """Nothing has come of it."""
    made = SendingBench()
    made.read()
    result = result_called(made.board, "id-C1")
    assert result is not None

    assert is_to_be_heard(result)
    assert not is_to_be_heard(replace(result, version=0))
