"""A supervisor says anew what was on a strip; the reading rules say what that comes to."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from builders import CLEAR, FAINT, NEGATIVE, NO_CONTROL, Bench, at, private
from core.board.review_acts import amend
from core.board.stock_bench import StockBench
from readbell.core.assay.reading_rules import SecondReader
from readbell.core.board.acts import RegisterOperator
from readbell.core.board.fold import fold
from readbell.core.board.review import NEVER_READ, NO_REASON, NOT_READ_YET, OWN_READING, own_reviews
from readbell.core.board.to_repeat import to_repeat
from readbell.core.cartridge.acts import CorrectReading
from readbell.core.cartridge.correction import bands_that_count
from readbell.core.cartridge.events import ResultAmended, SlipReason
from readbell.core.cartridge.stage import Stage
from readbell.core.controls.events import SampleJudged
from readbell.core.controls.verdict import Verdict
from readbell.core.policy.events import PolicySet
from readbell.core.policy.policy import SitePolicy
from readbell.core.policy.second_reading import SecondReaderRule
from readbell.core.reading.bands import Bands
from readbell.core.reading.interpretation import Outcome
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.reasons import AmendReason, HoldReason, WithdrawReason
from readbell.core.staff.acts import GiveRoles, RetireOperator
from readbell.core.staff.roles import Role

if TYPE_CHECKING:
    from readbell.core.board.acts import Act

LATE = "90:00"


def read(seen: Bands = NEGATIVE) -> Bench:
    """A bench on which op-1 read C1."""
    made = Bench()
    made.to_well()
    made.must(made.read_act(seen), "18:00")
    return made


def test_an_amendment_counts_from_then_on_and_the_first_reading_stays() -> None:
    """Whoever looks at it later sees both, each with its instant and its doer."""
    made = read()
    before = made.cartridge().reading
    (event,) = made.must(amend(FAINT), LATE)

    assert isinstance(event, ResultAmended)
    assert (event.at, event.by, event.outcome, event.own) == (
        at(LATE), "key-op-2", Outcome.POSITIVE, False,
    )  # fmt: skip
    assert (event.reason, event.words) == (AmendReason.WRONGLY_SEEN, private("overlooked"))
    cartridge = made.cartridge()
    assert (cartridge.stage, cartridge.outcome) == (Stage.READ, Outcome.POSITIVE)
    assert cartridge.reading == before
    assert cartridge.amendments == (event,)
    assert bands_that_count(cartridge) == FAINT


def test_the_last_of_several_amendments_counts() -> None:
    """Each of them stays on record."""
    made = read()
    made.must(amend(CLEAR), LATE)
    made.must(amend(NEGATIVE), LATE)
    assert made.cartridge().outcome is Outcome.NEGATIVE
    assert len(made.cartridge().amendments) == 2


@pytest.mark.parametrize(
    ("act", "refusal"),
    [
        (amend(by="op-9"), Refusal(code=RefusalCode.UNKNOWN_OPERATOR, subject="op-9")),
        (amend(label="C9"), Refusal(code=RefusalCode.UNKNOWN_CARTRIDGE, subject="C9")),
        (amend(why=" "), Refusal(code=RefusalCode.NOT_ALLOWED, subject=NO_REASON)),
        (amend(by="op-1"), Refusal(code=RefusalCode.NOT_ALLOWED, subject=OWN_READING)),
        (amend(NEGATIVE), Refusal(code=RefusalCode.ALREADY_KNOWN, subject="reading")),
        (amend(Bands()), Refusal(code=RefusalCode.BAD_BANDS, subject="T")),
    ],
    ids=["by nobody", "of nothing", "for no reason", "of one's own", "of nothing new", "half"],
)
def test_an_amendment_needs_somebody_else_a_reason_and_something_new(
    act: Act, refusal: Refusal
) -> None:
    """Bands are answered whole, as at any reading."""
    assert read().refused(act, LATE) == refusal


def test_only_a_supervisor_amends_where_there_are_roles() -> None:
    """A reader reads."""
    made = read()
    made.must(GiveRoles(by="op-1", operator="op-2", roles=(Role.TESTER, Role.READER)))
    assert made.refused(amend(), LATE).code is RefusalCode.ROLE_MISSING


def test_nothing_is_amended_that_runs_was_void_taken_back_or_never_read() -> None:
    """There is no reading to say anew."""
    made = Bench()
    made.to_well()
    early = made.refused(amend(), "18:00")
    assert early == Refusal(code=RefusalCode.NOT_ALLOWED, subject=NOT_READ_YET)
    made.lapse()
    assert made.refused(amend(), LATE).subject == NEVER_READ
    gone = Bench()
    gone.to_well()
    gone.must(gone.void_act(), "3:00")
    ended = Refusal(code=RefusalCode.ALREADY_ENDED, subject="C1")
    assert gone.refused(amend(), LATE) == ended
    back = read()
    reason = WithdrawReason.KIT_FAULT
    back.must(WithdrawResult(by="op-2", cartridge="C1", reason=reason, words=private("no")), LATE)
    assert back.refused(amend(), LATE) == ended


def test_a_reading_that_was_amended_is_corrected_by_its_reader_no_more() -> None:
    """The supervisor has the last word, even while the window is still open."""
    made = read()
    made.must(amend(), "19:00")
    slip = CorrectReading(aim=made.aim(), bands=NEGATIVE, reason=SlipReason.PRESSED_WRONG_KEY)
    already = Refusal(code=RefusalCode.ALREADY_READ, subject="C1")
    assert made.refused(slip, "19:30") == already


def test_an_amendment_that_leaves_nothing_reportable_makes_a_repeat_due() -> None:
    """And one that gives a result takes the repeat away."""
    made = read()
    made.must(amend(NO_CONTROL), LATE)
    assert to_repeat(made.board) == (made.cartridge(),)
    made.must(amend(CLEAR), LATE)
    assert not to_repeat(made.board)


def test_what_was_seen_early_binds_an_amendment_too() -> None:
    """The strip contradicts itself as before: nobody may pick one of its two looks."""
    made = Bench()
    made.to_well()
    made.must(made.look_act(FAINT), "6:00")
    made.must(made.read_act(CLEAR), "18:00")
    made.must(amend(NEGATIVE), LATE)
    assert made.cartridge().outcome is Outcome.WITHHELD


def test_one_who_works_alone_amends_their_own_marked_as_own_review() -> None:
    """For somebody outside to look at."""
    made = read()
    made.must(RetireOperator(by="op-1", operator="op-2"), "18:30")
    (event,) = made.must(amend(by="op-1"), LATE)
    assert isinstance(event, ResultAmended)
    assert event.own
    (own,) = own_reviews(made.board, at(LATE))
    assert (own.by, own.about, own.event) == ("key-op-1", "id-C1", "ResultAmended")
    assert not own_reviews(made.board, at("90:00.001"))


def test_an_amended_invalid_counts_no_more_among_the_invalids_of_its_lot() -> None:
    """Control samples are asked for by what stands."""
    made = read(NO_CONTROL)
    assert made.board.samples.record("L-100").invalids
    made.must(amend(CLEAR), LATE)
    assert not made.board.samples.record("L-100").invalids


def test_an_amended_control_sample_is_judged_anew() -> None:
    """A sample that fails after all stops its lot as any other."""
    bench = StockBench()
    bench.materials()
    bench.whole_sample("S1", "PC-1", 0, CLEAR)
    event, judged, *_ = bench.must(amend(NEGATIVE, label="S1"), LATE)
    assert isinstance(event, ResultAmended)
    assert isinstance(judged, SampleJudged)
    assert judged.verdict is Verdict.FAILED


def test_an_amendment_settles_no_hold_that_is_about_something_else() -> None:
    """A recalled lot is recalled whatever was on the strip."""
    from readbell.core.review.events import ReadingHeld

    made = read()
    held = (HoldReason.LOT_RECALLED, HoldReason.CONTRADICTS_EARLIER)
    made.board = fold(
        made.board, ReadingHeld(at=at("20:00"), by=None, cartridge="id-C1", reasons=held)
    )
    made.must(amend(), LATE)
    assert made.cartridge().held == (HoldReason.LOT_RECALLED,)


def test_where_readers_disagreed_the_first_reading_said_again_decides_it_once() -> None:
    """It is nothing new on the strip, and settles what was open; a second time it is neither."""
    made = Bench()
    policy = SitePolicy(second_reader=(SecondReaderRule(when=SecondReader.ALL),))
    made.board = fold(made.board, PolicySet(at=at("0:00"), policy=policy))
    made.must(RegisterOperator(by="op-1", operator=private("op-3")))
    made.to_well()
    made.must(made.look_act(FAINT), "6:00")
    made.must(made.read_act(FAINT), "18:00")
    made.must(made.read_act(NEGATIVE, by="op-2"), "19:00")
    assert made.cartridge().outcome is Outcome.WITHHELD
    made.must(amend(NEGATIVE, by="op-3"), LATE)
    assert made.cartridge().outcome is Outcome.WITHHELD
    again = made.refused(amend(NEGATIVE, by="op-3"), "95:00")
    assert again == Refusal(code=RefusalCode.ALREADY_KNOWN, subject="reading")
    made.must(amend(FAINT, by="op-3"), "96:00")
    assert made.cartridge().outcome is Outcome.POSITIVE
