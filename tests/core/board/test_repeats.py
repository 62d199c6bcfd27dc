"""As many repeats as the site gives within a day; after them its referral."""

from __future__ import annotations

import pytest

from builders import CLEAR, NO_CONTROL, SMEAR, THREE_LINES, private
from core.board.stock_bench import StockBench
from readbell.core.board.repeats import gets_no_repeat, repeat_of
from readbell.core.refusal import Refusal, RefusalCode
from readbell.core.review.acts import WithdrawResult
from readbell.core.review.reasons import WithdrawReason

REFERRAL = "Refer to the clinic on Quay Street."


def bench(limit: int) -> StockBench:
    """A bench whose site gives so many repeats."""
    made = StockBench()
    made.decides(repeat_limit=limit, referral=REFERRAL)
    return made


def test_after_the_last_repeat_no_further_one_is_begun_and_the_referral_is_given() -> None:
    """One repeat: the second invalid is the last."""
    made = bench(1)
    made.whole("C1", NO_CONTROL)
    assert not gets_no_repeat(made.board, made.cartridge("C1"))
    made.whole("C2", SMEAR, 1)
    assert gets_no_repeat(made.board, made.cartridge("C2"))
    assert not gets_no_repeat(made.board, made.cartridge("C1"))
    refused = made.refused(made.label_act("C3"), "2:00:00")
    assert refused == Refusal(code=RefusalCode.REPEAT_LIMIT, subject=REFERRAL)
    made.label("C4", "P-002", "2:00:00")


def test_a_repeat_is_found_by_what_it_repeats_and_a_void_one_is_none() -> None:
    """Whoever hears of the first is told of the second, where there is one."""
    made = bench(0)
    made.whole("C1", NO_CONTROL)
    assert repeat_of(made.board, made.cartridge("C1")) is None
    made.label("C2", now="1:00:00")
    assert repeat_of(made.board, made.cartridge("C1")) == made.cartridge("C2")
    made.must(made.void_act("C2"), "1:00:10")
    assert repeat_of(made.board, made.cartridge("C1")) is None


def test_a_site_that_sets_no_limit_repeats_as_often_as_it_takes() -> None:
    """The warning after two invalids stands as ever."""
    made = bench(0)
    for hour, label in enumerate(("C1", "C2", "C3")):
        made.whole(label, NO_CONTROL, hour)
    assert not gets_no_repeat(made.board, made.cartridge("C3"))
    made.label("C4", now="4:00:00")


def test_a_day_later_it_is_another_visit() -> None:
    """To the millisecond; whoever comes back is not turned away for what failed last week."""
    made = bench(1)
    made.whole("C1", NO_CONTROL)
    made.whole("C2", NO_CONTROL, 1)
    assert made.refused(made.label_act("C3"), "24:00:00").code is RefusalCode.REPEAT_LIMIT
    made.label("C3", now="24:00:00.001")


def test_something_valid_ends_the_row() -> None:
    """A repeat that gave a result was no vain one."""
    made = bench(1)
    for hour, (label, seen) in enumerate((("C1", NO_CONTROL), ("C2", CLEAR), ("C3", NO_CONTROL))):
        made.whole(label, seen, hour)
    made.label("C4", now="4:00:00")


@pytest.mark.parametrize("taken_back", [False, True])
def test_what_was_void_or_taken_back_counts_for_no_repeat(taken_back: bool) -> None:
    """Nobody has read two strips for it."""
    made = bench(1)
    made.whole("C1", NO_CONTROL)
    if taken_back:
        made.whole("C2", NO_CONTROL, 1)
        reason = WithdrawReason.KIT_FAULT
        act = WithdrawResult(by="op-2", cartridge="C2", reason=reason, words=private("kit"))
        made.must(act, "2:00:00")
        assert not gets_no_repeat(made.board, made.cartridge("C2"))
    else:
        made.label("C2", now="1:00:00")
        made.must(made.void_act("C2"), "1:01:00")
        assert not gets_no_repeat(made.board, made.cartridge("C2"))
    made.label("C3", now="3:00:00")


def test_each_assay_has_its_own_repeats() -> None:
    """Another question is no repeat of this one."""
    made = bench(1)
    made.adopt(THREE_LINES)
    made.receive("L-3", THREE_LINES)
    made.whole("C1", NO_CONTROL)
    made.whole("C2", NO_CONTROL, 1)
    made.must(made.label_act("C3", lot="L-3"), "2:00:00")
    made.run("C3", begins=120, seen=SMEAR)
    assert not gets_no_repeat(made.board, made.cartridge("C3"))


def test_a_void_one_between_two_that_failed_breaks_no_row() -> None:
    """It counts for nothing, and what lay before it still counts."""
    made = bench(1)
    made.whole("C1", NO_CONTROL)
    made.label("C2", now="1:00:00")
    made.must(made.void_act("C2"), "1:01:00")
    made.whole("C3", NO_CONTROL, 2)
    assert gets_no_repeat(made.board, made.cartridge("C3"))
    assert made.refused(made.label_act("C4"), "3:00:00").code is RefusalCode.REPEAT_LIMIT
