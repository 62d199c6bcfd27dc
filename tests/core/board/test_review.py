"""What is held is released by a supervisor; what was taken back stays in sight and counts no more."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, FAINT, NEGATIVE, Bench, at, private
from core.board.paper_bench import entered, run
from core.board.review_acts import hold, release, withdraw
from readbell.core.board.repeats import asks_for_repeat
from readbell.core.board.review import (
    NO_REASON,
    NO_RESULT,
    NOT_HELD,
    NOT_READ_YET,
    OWN_READING,
    awaiting_review,
    own_reviews,
    refuse_withdrawal,
)
from readbell.core.board.to_repeat import to_repeat
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.events import CartridgeRead, SlipReason
from readbell.core.cartridge.stage import Stage
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.events import ReadingReleased, ResultWithdrawn
from readbell.core.review.reasons import HoldReason, WithdrawReason
from readbell.core.staff.acts import GiveRoles, RetireOperator, StateCompetence
from readbell.core.staff.roles import Role

if TYPE_CHECKING:
    from readbell.core.board.acts import Act

WHY = private("looked at the strip")


def unverified(made: Bench, seen: str = "negative", now: str = "18:00") -> None:
    """Read C1 under a typed name."""
    bands = NEGATIVE if seen == "negative" else CLEAR
    made.must(
        ReadUnverified(aim=replace(made.aim(), by=""), bands=bands, name=private("A. Name")), now
    )


def read_and_held(by: str = "op-1") -> Bench:
    """A bench on which C1 was read by `by`, and is held."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(NEGATIVE, by=by), "18:00")
    hold(made, "18:00", reason=HoldReason.NOT_SIGNED_IN)
    return made


def test_a_reading_under_a_typed_name_counts_says_whose_it_was_and_is_held() -> None:
    """Whoever is locked out does not let a window close."""
    made = Bench()
    made.to_well()
    unverified(made)

    cartridge = made.cartridge()
    assert (cartridge.stage, cartridge.outcome) == (Stage.READ, Outcome.NEGATIVE)
    assert cartridge.held == (HoldReason.UNVERIFIED,)
    assert cartridge.reading is not None
    assert made.board.name(cartridge.reading.by) == "A. Name"
    assert "A. Name" not in made.board.operators
    assert awaiting_review(made.board) == (cartridge,)


@pytest.mark.parametrize(
    ("act", "now", "code"),
    [
        pytest.param("C1", "17:29.999", RefusalCode.TOO_EARLY, id="before the window"),
        pytest.param("C1", "22:30.001", RefusalCode.WINDOW_CLOSED, id="after it"),
        pytest.param("C9", "18:00", RefusalCode.UNKNOWN_CARTRIDGE, id="no cartridge"),
    ],
)
def test_a_typed_name_opens_no_window(act: str, now: str, code: RefusalCode) -> None:
    """The rules of the reading and the clock are the same for everybody."""
    made = Bench()
    made.to_well()
    aim = replace(made.aim(act), by="")
    refused = made.refused(ReadUnverified(aim=aim, bands=NEGATIVE, name=private("A")), now)
    assert refused.code is code


def test_a_supervisor_releases_what_is_held_with_a_reason() -> None:
    """And then the result stands."""
    made = read_and_held()
    (event,) = made.must(release(), "19:00")

    assert event == ReadingReleased(
        at=at("19:00"),
        by="key-op-2",
        cartridge="id-C1",
        reasons=(HoldReason.NOT_SIGNED_IN,),
        words=WHY,
        own=False,
    )
    cartridge = made.cartridge()
    assert (cartridge.held, cartridge.outcome) == ((), Outcome.NEGATIVE)
    assert (len(cartridge.holds), cartridge.releases) == (1, (event,))
    assert not awaiting_review(made.board)


@pytest.mark.parametrize(
    ("act", "refusal"),
    [
        (release(by="op-9"), Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject="op-9")),
        (release(label="C9"), Refusal(code=RefusalCode.UNKNOWN_CARTRIDGE, subject="C9")),
        (release(why="  "), Refusal(code=RefusalCode.NOT_ALLOWED, subject=NO_REASON)),
        (release(by="op-1"), Refusal(code=RefusalCode.NOT_ALLOWED, subject=OWN_READING)),
    ],
    ids=["by nobody", "of nothing", "for no reason", "of one's own"],
)
def test_a_release_needs_somebody_else_and_a_reason(act: Act, refusal: Refusal) -> None:
    """Else it would be no second look."""
    assert read_and_held().refused(act, "19:00") == refusal


def test_what_was_void_while_it_was_held_leaves_nothing_to_be_released() -> None:
    """Nothing came of it, and the record has no place for a release behind its end."""
    made = Bench()
    made.to_well()
    hold(made, "3:00", reason=HoldReason.NOT_SIGNED_IN)
    made.must(made.void_act(), "4:00")
    ended = Refusal(code=RefusalCode.ALREADY_ENDED, subject="C1")
    assert made.refused(release(), "5:00") == ended


def test_a_cartridge_whose_label_was_used_again_is_named_by_its_own_id() -> None:
    """Labels come again; a release must never be another's."""
    made = read_and_held()
    made.must(release(label="id-C1"), "19:00")
    assert not made.cartridge().held


def test_whether_there_is_a_result_to_take_back_can_be_asked_beforehand() -> None:
    """So that nobody writes down a reason for nothing."""
    made = Bench()
    made.to_well()
    nothing = refuse_withdrawal(made.board, made.cartridge())
    assert nothing is not None
    assert nothing.subject == NO_RESULT
    made.must(made.read_act(NEGATIVE), "18:00")
    assert refuse_withdrawal(made.board, made.cartridge()) is None
    made.must(withdraw(), "19:00")
    taken = Refusal(code=RefusalCode.ALREADY_ENDED, subject="C1")
    assert refuse_withdrawal(made.board, made.cartridge()) == taken


def test_of_a_run_on_paper_it_can_be_asked_as_well_until_it_was_taken_back() -> None:
    """It has a result from the moment it was entered, and is taken back once as any other."""
    made = Bench()
    found = entered(run(), made)
    assert refuse_withdrawal(made.board, found) is None
    made.must(withdraw(label="C31"), "61:00")
    taken = Refusal(code=RefusalCode.ALREADY_ENDED, subject="C31")
    assert refuse_withdrawal(made.board, found) == taken


def test_whoever_looked_early_or_corrected_has_read_it_too() -> None:
    """Each of them said what was on the strip."""
    made = Bench()
    made.to_well()
    made.must(made.look_act(FAINT, by="op-2"), "6:00")
    made.must(made.read_act(FAINT), "18:00")
    hold(made, "18:00", reason=HoldReason.NOT_SIGNED_IN)
    assert made.refused(release(), "19:00").subject == OWN_READING
    mended = CorrectReading(aim=made.aim(), bands=CLEAR, reason=SlipReason.PRESSED_WRONG_KEY)
    made.must(mended, "18:30")
    assert made.refused(release(by="op-1"), "19:00").subject == OWN_READING


def test_whoever_a_hold_came_of_has_read_nothing_by_it_and_may_release() -> None:
    """It was their control sample that failed; the strip was read by somebody else."""
    made = read_and_held()
    hold(made, "18:30", reason=HoldReason.CONTROL_FAILED, by="key-op-2")
    (event,) = made.must(release(), "19:00")
    assert isinstance(event, ReadingReleased)
    assert not event.own


def test_one_who_works_alone_releases_their_own_marked_as_own_review() -> None:
    """For somebody outside to look at."""
    made = read_and_held()
    made.must(RetireOperator(by="op-1", operator="op-2"), "18:30")
    (event,) = made.must(release(by="op-1"), "19:00")

    assert isinstance(event, ReadingReleased)
    assert event.own
    (own,) = own_reviews(made.board, at("19:00"))
    assert (own.at, own.by, own.about, own.event) == (
        at("19:00"), "key-op-1", "id-C1", "ReadingReleased",
    )  # fmt: skip
    assert not own_reviews(made.board, at("19:00.001"))


def test_what_one_who_works_alone_cleared_themselves_for_is_listed_with_it() -> None:
    """In the order in which it was done."""
    made = read_and_held()
    made.must(RetireOperator(by="op-1", operator="op-2"), "18:30")
    own = StateCompetence(by="op-1", operator="op-1", assay=made.assay.id, until=date(2027, 1, 1))
    made.must(own, "18:40")
    made.must(release(by="op-1"), "19:00")
    made.must(withdraw(by="op-1"), "19:10")
    events = [each.event for each in own_reviews(made.board, at("0:00"))]
    assert events == ["CompetenceStated", "ReadingReleased", "ResultWithdrawn"]
    first, *rest = own_reviews(made.board, at("18:40"))
    assert (first.by, first.about, len(rest)) == ("key-op-1", "key-op-1", 2)
    last, *_ = own_reviews(made.board, at("18:40.001"))
    assert last.event == "ReadingReleased"
    assert not own_reviews(made.board, at("20:00"))


def test_only_a_supervisor_releases_or_takes_back_where_there_are_roles() -> None:
    """A tester does neither."""
    made = read_and_held()
    made.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER, Role.READER)))
    for act in (release(), withdraw()):
        assert made.refused(act, "19:00").code is RefusalCode.ROLE_MISSING


def test_nothing_is_released_that_is_not_held_or_not_read_yet() -> None:
    """A release ahead of the reading would be none."""
    made = Bench()
    made.to_well()
    not_held = Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOT_HELD)
    assert made.refused(release()) == not_held
    hold(made, "3:00", reason=HoldReason.NOT_SIGNED_IN)
    not_read = Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOT_READ_YET)
    assert made.refused(release()) == not_read


def test_what_was_marked_before_the_reading_is_held_with_it() -> None:
    """Each reason once, however often it came."""
    made = Bench()
    made.to_well()
    hold(made, "3:00", reason=HoldReason.NOT_SIGNED_IN)
    hold(made, "3:00", reason=HoldReason.NOT_SIGNED_IN)
    made.must(made.read_act(NEGATIVE), "18:00")
    assert made.cartridge().held == (HoldReason.NOT_SIGNED_IN,)
    assert len(made.cartridge().holds) == 2
    assert awaiting_review(made.board)


def test_what_was_held_and_never_seen_needs_no_review() -> None:
    """Void, or lapsed with nothing on it."""
    made = Bench()
    made.to_well()
    hold(made, "3:00", reason=HoldReason.NOT_SIGNED_IN)
    made.lapse()
    assert not awaiting_review(made.board)


def test_a_lapsed_early_positive_that_is_held_waits_and_is_released() -> None:
    """It stands, so somebody has to look at it."""
    made = Bench()
    made.to_well()
    made.must(made.look_act(FAINT), "6:00")
    hold(made, "6:00", reason=HoldReason.NOT_SIGNED_IN)
    made.lapse()
    assert awaiting_review(made.board)
    made.must(release(), "23:00")
    assert made.cartridge().outcome is Outcome.POSITIVE


def test_a_result_taken_back_stays_in_sight_and_counts_no_more() -> None:
    """What was seen stays; no outcome comes of it, and a repeat is due."""
    made = read_and_held()
    (event,) = made.must(withdraw(), "19:00")

    assert isinstance(event, ResultWithdrawn)
    assert (event.at, event.by, event.reason, event.words) == (
        at("19:00"), "key-op-2", WithdrawReason.ANOTHER_PERSON, private("swapped"),
    )  # fmt: skip
    cartridge = made.cartridge()
    assert cartridge.withdrawn == event
    assert (cartridge.stage, cartridge.outcome, cartridge.outcomes) == (Stage.READ, None, ())
    assert cartridge.reading is not None
    assert cartridge.reading.outcome is Outcome.NEGATIVE
    assert asks_for_repeat(cartridge)
    assert to_repeat(made.board) == (cartridge,)
    assert not awaiting_review(made.board)


def test_a_result_is_taken_back_once_and_then_neither_released_nor_corrected() -> None:
    """It has ended for good."""
    made = read_and_held()
    made.must(withdraw(), "19:00")
    for act in (
        withdraw(),
        release(),
        CorrectReading(aim=made.aim(), bands=CLEAR, reason=SlipReason.PRESSED_WRONG_KEY),
    ):
        refused = made.refused(act, "19:00")
        assert (refused.code, refused.subject) == (RefusalCode.ALREADY_ENDED, "C1")


def test_whoever_read_it_may_take_it_back_as_a_supervisor() -> None:
    """Nobody must wait to say that a result is wrong; that it was their own is marked."""
    made = read_and_held()
    (event,) = made.must(withdraw(by="op-1"), "19:00")
    assert isinstance(event, ResultWithdrawn)
    assert event.own


def test_an_early_positive_is_taken_back_and_the_cartridge_ends_with_it() -> None:
    """A later negative on the same strip would be a way round it."""
    made = Bench()
    made.to_well()
    made.must(made.look_act(FAINT), "6:00")
    made.must(withdraw(), "7:00")

    cartridge = made.cartridge()
    assert (cartridge.stage, cartridge.outcome) == (Stage.VOID, None)
    assert cartridge.early_looks
    assert not made.board.running
    assert asks_for_repeat(cartridge)
    assert made.refused(made.read_act(NEGATIVE), "18:00").code is RefusalCode.ALREADY_ENDED


def test_where_nothing_was_seen_there_is_nothing_to_take_back() -> None:
    """Such a cartridge is void instead."""
    made = Bench()
    made.to_well()
    assert made.refused(withdraw()).subject == NO_RESULT


def test_a_reading_that_was_read_by_its_kind_keeps_its_first_entry() -> None:
    """The event of the reading is never touched."""
    made = read_and_held()
    before = made.cartridge().reading
    made.must(withdraw(), "19:00")
    assert isinstance(before, CartridgeRead)
    assert made.cartridge().reading == before


def test_what_waits_for_review_stands_in_the_order_of_the_labels() -> None:
    """However much later the first one was read."""
    made = Bench()
    for label in ("C1", "C2"):
        made.to_well(label)
    for label, now in (("C2", "18:00"), ("C1", "18:10")):
        made.must(made.read_act(NEGATIVE, label), now)
        hold(made, "18:20", label, HoldReason.NOT_SIGNED_IN)
    assert [each.label for each in awaiting_review(made.board)] == ["C1", "C2"]


def test_an_act_before_the_time_asked_about_hides_no_clearance_after_it() -> None:
    """Both are gone through, each by itself."""
    made = read_and_held()
    made.must(RetireOperator(by="op-1", operator="op-2"), "18:30")
    made.must(release(by="op-1"), "19:00")
    own = StateCompetence(by="op-1", operator="op-1", assay=made.assay.id, until=date(2027, 1, 1))
    made.must(own, "20:00")
    assert [each.event for each in own_reviews(made.board, at("19:30"))] == ["CompetenceStated"]


def test_a_reason_that_was_erased_is_none() -> None:
    """Nor is one that was never given."""
    act = replace(release(), words=replace(WHY, value=None))
    refused = read_and_held().refused(act, "19:00")
    assert (refused.code, refused.subject) == (RefusalCode.NOT_ALLOWED, NO_REASON)
