"""Somebody else reads the strip again, inside its window and told nothing of the first reading."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings

from builders import CLEAR, FAINT, NEGATIVE, SMEAR, at, private
from core.any_acts import BENCH, PLANS, Plan, play
from core.board.review_acts import amend
from core.board.second_reader_bench import CLOSED, due, ready, third
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.fold import fold
from readbell.core.board.review import OWN_READING, awaiting_review
from readbell.core.board.to_repeat import to_repeat
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.events import CartridgeRead, ReadingKind, SlipReason
from readbell.core.cartridge.looks import SAME_READER
from readbell.core.cartridge.stage import Stage
from readbell.core.cartridge.unverified import ReadUnverified
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import RefusalCode
from readbell.core.results.result import result_of
from readbell.core.results.status import ResultStatus
from readbell.core.review.acts import ReleaseReading
from readbell.core.review.events import ReadingHeld
from readbell.core.review.reasons import HoldReason


def test_a_second_reader_who_sees_the_same_ends_it() -> None:
    """The reading says at which look it was made, and by whom."""
    made = due(FAINT)
    (event,) = made.must(made.read_act(CLEAR, by="op-2"), "19:00")

    assert isinstance(event, CartridgeRead)
    assert (event.kind, event.ordinal, event.by) == (ReadingKind.SECOND, 2, "key-op-2")
    cartridge = made.cartridge()
    assert (cartridge.stage, cartridge.outcome) == (Stage.READ, Outcome.POSITIVE)
    assert cartridge.reading is not None
    assert cartridge.reading.by == "key-op-1"
    assert cartridge.second == event
    found = made.result()
    assert (found.status, found.version, found.read_at) == (ResultStatus.FINAL, 1, at("18:00"))


def test_the_second_reader_is_not_the_first_and_is_told_nothing_by_the_refusal() -> None:
    """Whatever the first one enters now, the answer is the same."""
    made = due()
    answers = {
        made.refused(made.read_act(seen), "19:00").subject for seen in (FAINT, NEGATIVE, SMEAR)
    }
    assert answers == {SAME_READER}
    assert made.refused(made.read_act(FAINT), "19:00").code is RefusalCode.NOT_ALLOWED
    assert made.refused(made.read_act(FAINT), CLOSED).code is RefusalCode.WINDOW_CLOSED


def test_whoever_types_the_first_readers_name_is_no_second_reader() -> None:
    """A typed name is taken as it is in any window, and held; but not this one."""
    made = due()
    aim = replace(made.aim(), by="")
    same = ReadUnverified(aim=aim, bands=FAINT, name=private(" OP-1 "))
    refused = made.refused(same, "19:00")
    assert (refused.code, refused.subject) == (RefusalCode.NOT_ALLOWED, SAME_READER)
    made.must(replace(same, name=private("A. Name")), "19:00")
    cartridge = made.cartridge()
    assert (cartridge.stage, cartridge.held) == (Stage.READ, (HoldReason.UNVERIFIED,))


def test_a_first_reading_under_a_typed_name_wants_a_second_reader_too() -> None:
    """Whoever read it; a name that was erased since is nobody's."""
    made = ready()
    aim = replace(made.aim(), by="")
    made.must(ReadUnverified(aim=aim, bands=FAINT, name=private("A. Name")), "18:00")
    assert made.cartridge().awaits_second
    made.must(made.read_act(FAINT), "19:00")
    assert made.cartridge().outcome is Outcome.POSITIVE


def test_two_readers_who_disagree_leave_it_withheld_and_a_supervisor_decides() -> None:
    """By saying what was there; or the person gets a repeat."""
    made = due(FAINT)
    third(made)
    event, held = made.must(made.read_act(NEGATIVE, by="op-2"), "19:00")

    assert isinstance(event, CartridgeRead)
    assert event.outcome is Outcome.WITHHELD
    assert isinstance(held, ReadingHeld)
    assert (held.by, held.reasons) == ("key-op-2", (HoldReason.READERS_DISAGREE,))
    cartridge = made.cartridge()
    assert cartridge.outcome is Outcome.WITHHELD
    assert awaiting_review(made.board) == (cartridge,)
    assert to_repeat(made.board) == (cartridge,)
    assert (made.result().status, made.result().version) == (ResultStatus.WITHHELD, 0)
    for by in ("op-1", "op-2"):
        assert made.refused(amend(FAINT, by=by), "60:00").subject == OWN_READING
    made.must(amend(FAINT, by="op-3"), "60:00")
    assert (made.result().status, made.result().outcome) == (ResultStatus.AMENDED, Outcome.POSITIVE)
    assert made.result().version == 1
    assert not made.cartridge().held
    assert not to_repeat(made.board)


def test_a_disagreement_that_is_released_stays_withheld() -> None:
    """A release decides between no two people; the repeat is due as before."""
    made = due(FAINT)
    third(made)
    made.must(made.read_act(NEGATIVE, by="op-2"), "19:00")
    made.must(ReleaseReading(by="op-3", cartridge="C1", words=private("repeat it")), "20:00")
    assert made.result().status is ResultStatus.WITHHELD
    assert to_repeat(made.board)


def test_an_early_positive_is_shown_to_no_second_reader() -> None:
    """Whoever was told it keeps what they know until both have read."""
    made = ready(SecondReader.ALL)
    made.must(made.look_act(FAINT), "6:00")
    assert made.cartridge().shown_early
    made.must(made.read_act(FAINT), "18:00")
    assert not made.cartridge().shown_early
    assert (made.result().outcome, made.result().version) == (None, 1)
    event, held = made.must(made.read_act(NEGATIVE, by="op-2"), "19:00")
    assert isinstance(held, ReadingHeld)
    assert held.reasons == (HoldReason.READERS_DISAGREE,)
    assert isinstance(event, CartridgeRead)
    assert (event.ordinal, made.result().status) == (3, ResultStatus.WITHHELD)
    assert made.result().version == 2


def test_two_who_agree_on_what_contradicts_the_early_look_do_not_disagree() -> None:
    """Withheld by the two looks, not by the two readers: nobody has to decide between them."""
    made = ready(SecondReader.ALL)
    made.must(made.look_act(FAINT), "6:00")
    made.must(made.read_act(FAINT), "18:00")
    slip = CorrectReading(aim=made.aim(), bands=NEGATIVE, reason=SlipReason.PRESSED_WRONG_KEY)
    made.must(slip, "18:10")
    made.must(made.read_act(NEGATIVE, by="op-2"), "19:00")
    assert made.cartridge().outcome is Outcome.WITHHELD
    assert not made.cartridge().held


ASKED = fold(
    BENCH,
    PolicySet(
        at=at("0:00"),
        policy=SitePolicy(second_reader=(SecondReaderRule(when=SecondReader.ALL),), repeat_limit=1),
    ),
)


@settings(deadline=None, max_examples=60)
@given(plan=PLANS)
def test_whatever_is_done_nothing_comes_of_a_strip_that_was_read_once(plan: Plan) -> None:
    """And what two have read is what they agree on, or withheld."""
    for board, _, _ in play(plan, ASKED):
        for cartridge in board.in_order():
            found = result_of(cartridge)
            if cartridge.awaits_second:
                assert cartridge.id in board.running
                assert (cartridge.outcome, cartridge.second) == (None, None)
                assert found.status is ResultStatus.SECOND_DUE
                assert {each.outcome for each in found.analytes} == {None}
            second, first = cartridge.second, cartridge.reading
            if second is not None and not cartridge.amendments and cartridge.withdrawn is None:
                assert first is not None
                assert first.by != second.by
                said = {first.outcome, *(each.outcome for each in cartridge.corrections)}
                assert cartridge.outcome in {*said, Outcome.WITHHELD}


def test_a_second_reader_under_a_typed_name_who_disagrees_is_named_by_the_reading_alone() -> None:
    """A hold names operators by key, and nobody has made sure who that was."""
    made = due()
    act = ReadUnverified(aim=replace(made.aim(), by=""), bands=NEGATIVE, name=private("A. Name"))
    *_, held = made.must(act, "19:00")
    assert isinstance(held, ReadingHeld)
    assert (held.by, held.reasons) == (None, (HoldReason.READERS_DISAGREE,))
