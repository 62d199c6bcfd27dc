"""One ended cartridge as facts that can be counted."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given

from builders import CLEAR, FAINT, NEGATIVE, NO_CONTROL, Bench, at, private
from core.any_acts import PLANS, Plan, play
from core.board.telling_bench import OFFICE, TellingBench
from readbell.core.board.fold import fold
from readbell.core.cartridge.events import How, Identified
from readbell.core.cartridge.looks import lapse
from readbell.core.figures.case import Came, Case, case_of
from readbell.core.instant import Span
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.results.telling import Hearer
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.reasons import WithdrawReason

MINUTE = 60_000


def case(made: Bench, label: str = "C1") -> Case:
    """The cartridge as a case."""
    cartridge = made.cartridge(label)
    return case_of(cartridge, made.board.told.get(cartridge.id, ()))


def test_a_negative_that_was_timed_throughout_tells_how_long_all_of_it_took() -> None:
    """Extraction from the swab in the buffer to its withdrawal, the reading from the drops."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(NEGATIVE, by="op-2"), "18:30")

    found = case(made)
    assert found.came is Came.NEGATIVE
    assert (found.operator, found.reader) == ("key-op-1", "key-op-2")
    (wait,) = found.waits
    assert (wait.step, wait.took, wait.idle, wait.kept) == ("extract", MINUTE, 0, True)
    assert found.read == 16 * MINUTE
    assert found.window_used == pytest.approx(0.2)
    assert (found.early, found.told, found.faint, found.repeat) == (None, None, False, False)
    assert not found.stated


def test_a_positive_seen_early_keeps_the_instant_of_the_look_and_how_faint_it_was() -> None:
    """Whoever asks how reliable early looks are has both."""
    made = Bench()
    made.to_well()
    made.must(made.look_act(FAINT), "8:30")
    made.must(made.read_act(FAINT), "18:00")

    found = case(made)
    assert (found.came, found.faint, found.early) == (Came.POSITIVE, True, 6 * MINUTE)


def test_a_clear_line_is_not_faint() -> None:
    """And a positive need not have been seen early."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(CLEAR), "18:00")

    assert (case(made).faint, case(made).early) == (False, None)


def test_what_nobody_read_has_lapsed_and_what_showed_no_control_line_is_invalid() -> None:
    """Both are repeated, and only one of them speaks of the kit."""
    made = Bench()
    made.to_well()
    made.to_well("C2", "P-002")
    made.board = fold(made.board, lapse(made.cartridge("C1"), at("22:30.001")))
    made.must(made.read_act(NO_CONTROL, "C2"), "18:00")

    assert case(made, "C1").came is Came.LAPSED
    assert (case(made, "C1").reader, case(made, "C1").read) == (None, None)
    assert case(made, "C2").came is Came.INVALID
    made.label("C3")
    assert made.cartridge("C3").labelled.repeat_of is not None
    made.must(made.void_act("C3"), "30:00")
    assert (case(made, "C3").came, case(made, "C3").repeat) == (Came.VOID, True)


def test_an_early_positive_that_the_window_contradicts_is_withheld() -> None:
    """Neither of the two looks counts."""
    made = Bench()
    made.to_well()
    made.must(made.look_act(CLEAR), "8:30")
    made.must(made.read_act(NEGATIVE), "18:00")

    assert case(made).came is Came.WITHHELD


def test_a_result_that_was_taken_back_is_withdrawn() -> None:
    """It counts among no rate."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(NEGATIVE), "18:00")
    reason = WithdrawReason.WRONGLY_READ
    made.must(
        WithdrawResult(by="op-2", cartridge="C1", reason=reason, words=private("no")), "19:00"
    )

    assert case(made).came is Came.WITHDRAWN


def test_what_was_stated_afterwards_is_counted_and_timed_nowhere() -> None:
    """A time that somebody remembered is no measurement."""
    made = Bench()
    made.label()
    for step in ("buffer", "collect", "extract"):
        made.step(step, "0:00")
    made.must(made.step_act("withdraw", done_at="1:30", doubt="0:20"), "2:00")
    made.step("apply", "2:30")
    made.must(made.read_act(NEGATIVE), "18:30")

    found = case(made)
    assert found.stated
    assert found.came is Came.NEGATIVE
    assert (found.read, found.window_used, found.told, found.waits) == (None, None, None, ())


def test_a_swab_left_in_its_buffer_too_long_is_a_wait_not_kept() -> None:
    """A deviation, and the idle time of whoever was wanted meanwhile."""
    made = Bench()
    made.label()
    for step in ("buffer", "collect", "extract"):
        made.step(step, "0:00")
    made.step("withdraw", "4:00")
    made.step("apply", "4:10")
    made.must(made.read_act(NEGATIVE), "20:00")

    (wait,) = case(made).waits
    assert (wait.took, wait.idle, wait.kept) == (4 * MINUTE, 3 * MINUTE, False)


def test_how_long_a_person_waited_runs_from_the_swab_to_the_first_who_told_them() -> None:
    """The office that is notified is nobody who waits."""
    made = TellingBench()
    made.board = fold(made.board, PolicySet(at=at("0:00"), policy=SitePolicy(notices=(OFFICE,))))
    made.read(CLEAR)
    made.tell(to=Hearer.OFFICE, now="19:00")
    assert case(made).told is None
    made.tell(now="21:00")

    assert case(made).told == 21 * MINUTE


def test_a_window_without_an_end_is_used_by_no_share() -> None:
    """The kit states none."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(NEGATIVE), "18:00")
    cartridge = made.cartridge()
    endless = replace(cartridge.assay.reading, closes=None)

    found = case_of(replace(cartridge, assay=replace(cartridge.assay, reading=endless)), ())
    assert (found.read, found.window_used) == (Span(930_000), None)


@pytest.mark.parametrize(
    "picked", [Identified(person=How.PICKED), Identified(cartridge=How.PICKED)]
)
def test_what_was_picked_from_a_list_at_label_or_reading_is_marked(picked: Identified) -> None:
    """The weakest way of making sure."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(NEGATIVE), "18:00")
    cartridge = made.cartridge()
    assert cartridge.reading is not None
    sure = Identified(cartridge=How.SCANNED, person=How.TYPED)
    labelled = replace(cartridge.labelled, identified=sure)
    reading = replace(cartridge.reading, identified=sure)
    cartridge = replace(cartridge, labelled=labelled, reading=reading)

    assert not case_of(cartridge, ()).picked
    assert case_of(replace(cartridge, reading=replace(reading, identified=picked)), ()).picked
    assert case_of(replace(cartridge, labelled=replace(labelled, identified=picked)), ()).picked


@given(PLANS)
def test_every_cartridge_that_ends_comes_to_something(plan: Plan) -> None:
    """Whatever is done at a bench, and with times that make sense."""
    ended = {}
    for board, _, _ in play(plan):
        ended = dict(board.ended)
    for cartridge in ended.values():
        found = case_of(cartridge, ())
        assert found.came in Came
        assert all(each.took >= 0 and each.idle >= 0 for each in found.waits)
        assert found.read is None or found.read >= 0
